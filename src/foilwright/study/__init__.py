"""Work over many designs or against outside data: evidence, section polars."""
