// Curves drawn by the plotting library; it is loaded when the first curve is seen, and asked for nothing while hidden.
const [NARROW, ROW] = [480, 19]; // below this width names stand above the curves in two columns, each row so high [px]

export default {
  template: "<div></div>",
  props: { figure: Object },
  mounted() {
    this.seen = new ResizeObserver(() => this.draw());
    this.seen.observe(this.$el);
  },
  unmounted() {
    this.seen.disconnect();
  },
  watch: {
    figure() {
      this.draw();
    },
  },
  methods: {
    async draw() {
      const place = this.$el;
      if (!place.clientWidth || !this.figure?.data?.length) return;
      if (!this.library) this.library = (await import("nicegui-plotly")).Plotly;
      if (!place.isConnected || !place.clientWidth) return;
      const figure = JSON.parse(JSON.stringify(this.figure));
      figure.layout.width = place.clientWidth - 10;
      if (place.clientWidth < NARROW) {
        figure.layout.legend = { ...figure.layout.legend, entrywidthmode: "fraction", entrywidth: 0.49 };
        figure.layout.height += ROW * Math.ceil(figure.data.length / 2);
      }
      figure.layout.uirevision = figure.layout.xaxis.title.text;
      this.library.react(place, figure.data, figure.layout, { ...figure.config, responsive: false });
    },
  },
};
