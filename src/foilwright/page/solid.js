// Faces in space on a plain canvas: sorted by distance, turned with the pointer or the arrow keys.
const LIGHT = [0.35, 0.45, 0.82];

function cross(a, b) {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function shade(face) {
  const middle = Math.floor(face.length / 2);
  const a = face[1].map((v, k) => v - face[0][k]);
  const b = face[middle + (middle === 1 ? 1 : 0)].map((v, k) => v - face[0][k]);
  const n = cross(a, b);
  const size = Math.hypot(...n) || 1;
  return Math.abs((n[0] * LIGHT[0] + n[1] * LIGHT[1] + n[2] * LIGHT[2]) / size);
}

export default {
  template: `<canvas tabindex="0" role="img" aria-label="The craft in space; turn it with the arrow keys"></canvas>`,
  props: { parts: Array },
  data: () => ({ turn: -0.7, tilt: 0.28, lit: "" }),
  mounted() {
    const canvas = this.$el;
    this.seen = new ResizeObserver(() => this.draw());
    this.seen.observe(canvas);
    this.shaded = new MutationObserver(() => this.draw());
    this.shaded.observe(document.documentElement, { attributes: true });
    canvas.addEventListener("pointerdown", (event) => {
      canvas.setPointerCapture(event.pointerId);
      this.pointed(event);
      this.from = [event.clientX, event.clientY];
    });
    canvas.addEventListener("pointermove", (event) => {
      if (!this.from) return this.pointed(event);
      this.turn += (event.clientX - this.from[0]) * 0.01;
      this.tilt = Math.max(-1.5, Math.min(1.5, this.tilt + (event.clientY - this.from[1]) * 0.01));
      this.from = [event.clientX, event.clientY];
      this.draw();
    });
    canvas.addEventListener("pointerup", () => (this.from = null));
    this.near = canvas.closest(".column") ?? canvas;
    this.hear = (event) => {
      this.lit = event.detail;
      this.draw();
    };
    this.near.addEventListener("pointed", this.hear);
    canvas.addEventListener("keydown", (event) => {
      const way = { ArrowLeft: [-0.1, 0], ArrowRight: [0.1, 0], ArrowUp: [0, 0.1], ArrowDown: [0, -0.1] }[event.key];
      if (!way) return;
      event.preventDefault();
      this.turn += way[0];
      this.tilt = Math.max(-1.5, Math.min(1.5, this.tilt + way[1]));
      this.draw();
    });
  },
  unmounted() {
    this.seen.disconnect();
    this.shaded.disconnect();
    this.near.removeEventListener("pointed", this.hear);
  },
  watch: {
    parts() {
      this.draw();
    },
  },
  methods: {
    pointed(event) {
      const pen = this.$el.getContext("2d");
      const sharp = window.devicePixelRatio || 1;
      const at = [event.offsetX * sharp, event.offsetY * sharp];
      const found = this.drawn?.findLast((face) => pen.isPointInPath(face.path, ...at));
      if (found && found.part !== this.lit) globalThis.foilwright.point(this.near, found.part);
    },
    hatch(pen, colour) {
      const tile = document.createElement("canvas");
      tile.width = tile.height = 8;
      const line = tile.getContext("2d");
      line.strokeStyle = colour;
      line.lineWidth = 1.3;
      for (const shift of [-8, 0, 8]) {
        line.moveTo(shift, 8);
        line.lineTo(shift + 8, 0);
      }
      line.stroke();
      return pen.createPattern(tile, "repeat");
    },
    draw() {
      const canvas = this.$el;
      const sharp = window.devicePixelRatio || 1;
      const [wide, high] = [canvas.clientWidth, canvas.clientHeight];
      if (!wide || !this.parts?.length) return;
      if (canvas.width !== Math.round(wide * sharp)) canvas.width = Math.round(wide * sharp);
      if (canvas.height !== Math.round(high * sharp)) canvas.height = Math.round(high * sharp);
      const ink = getComputedStyle(canvas);
      const [c, s, ct, st] = [Math.cos(this.turn), Math.sin(this.turn), Math.cos(this.tilt), Math.sin(this.tilt)];
      const corners = this.parts.flatMap((part) => part.faces.flat());
      const middle = [0, 1, 2].map((k) => {
        const values = corners.map((corner) => corner[k]);
        return (Math.min(...values) + Math.max(...values)) / 2;
      });
      const reach = Math.max(...corners.map((corner) => Math.hypot(...corner.map((v, k) => v - middle[k]))));
      const scale = (Math.min(wide, high * 1.5) * 0.47) / reach;
      const put = (corner) => {
        const [x, y, z] = corner.map((v, k) => v - middle[k]);
        const [u, v] = [x * c - y * s, x * s + y * c];
        return [wide / 2 + u * scale, high / 2 - (z * ct + v * st) * scale, v * ct - z * st];
      };
      const faces = this.parts.flatMap((part) =>
        part.faces.map((face) => {
          const points = face.map(put);
          const path = new Path2D();
          points.forEach(([x, y], k) => (k ? path.lineTo(x, y) : path.moveTo(x, y)));
          path.closePath();
          const far = points.reduce((sum, p) => sum + p[2], 0) / points.length;
          return { path, far, light: shade(face), bad: part.verdict, part: part.part };
        }),
      );
      faces.sort((a, b) => b.far - a.far);
      const pen = canvas.getContext("2d");
      pen.setTransform(sharp, 0, 0, sharp, 0, 0);
      pen.clearRect(0, 0, wide, high);
      const paper = ink.getPropertyValue("--paper");
      const hatched = this.hatch(pen, ink.getPropertyValue("--fails"));
      for (const face of faces) {
        const colour = ink.getPropertyValue(face.bad === "fails" ? "--fails" : face.bad === "slim" ? "--slim" : "--solid");
        const light = Math.round((face.part === this.lit ? 4 : 22) + 58 * face.light);
        pen.fillStyle = `color-mix(in oklab, ${colour}, ${paper} ${light}%)`;
        pen.fill(face.path);
        pen.strokeStyle = pen.fillStyle;
        pen.lineWidth = 0.7;
        pen.stroke(face.path);
        if (face.bad !== "fails") continue;
        pen.fillStyle = hatched;
        pen.fill(face.path);
      }
      this.drawn = faces;
    },
  },
};
