// The pictures of a panel, each put together from the tiles of one sheet, which is read once.

const WIDE = matchMedia("(min-width: 46rem)"); // where the layout for laptops has room

function pictureView() {
  const alt = "Picture. The words below it say what it shows.";
  const canvas = make("canvas", { role: "img", "aria-label": alt });
  let tiles = null;
  let sheet = null;
  let picture = 0;
  let shown = []; // of each place, which tile is there

  function draw() {
    if (!sheet.complete) return; // once it has been read, all is drawn
    canvas.removeAttribute("aria-busy");
    const [width, height] = tiles.tile;
    const columns = Math.ceil(tiles.width / width);
    const pen = canvas.getContext("2d");
    tiles.places.forEach((numbers, place) => {
      const number = numbers[numbers.length > 1 ? picture : 0];
      if (number === shown[place]) return;
      shown[place] = number;
      const from = [(number % tiles.across) * width, Math.floor(number / tiles.across) * height];
      const to = [(place % columns) * width, Math.floor(place / columns) * height];
      pen.drawImage(sheet, ...from, width, height, ...to, width, height);
    });
  }

  function show(all, number) {
    picture = number;
    if (all !== tiles) {
      tiles = all;
      shown = [];
      canvas.setAttribute("aria-busy", "true");
      canvas.width = all.width;
      canvas.height = all.height;
      sheet = make("img", { onload: draw, src: `data:image/webp;base64,${all.sheet}` });
    }
    draw();
  }

  return { canvas, show };
}
