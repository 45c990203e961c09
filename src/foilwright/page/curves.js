// Curves drawn by the plotting library; it is loaded when the first curve is seen, and asked for nothing while hidden.
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
      figure.layout.uirevision = figure.layout.xaxis.title.text;
      this.library.react(place, figure.data, figure.layout, { ...figure.config, responsive: false });
    },
  },
};
