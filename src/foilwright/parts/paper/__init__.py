"""What the parts are drawn and written with: line drawings, pages of blocks, tiles at full size."""
