// How dark each pixel of each picture is, 0 to 1. Runs in the browser: it knows nothing but what it is handed.
;async ({ pictures, side }) => {
  const canvas = document.createElement('canvas')
  canvas.width = side
  canvas.height = side
  const pen = canvas.getContext('2d', { willReadFrequently: true })
  const sheets = []
  for (const picture of pictures) {
    const image = new Image()
    image.src = `data:image/svg+xml,${encodeURIComponent(picture)}`
    await image.decode()
    pen.clearRect(0, 0, side, side)
    pen.drawImage(image, 0, 0, side, side)
    const { data } = pen.getImageData(0, 0, side, side)
    sheets.push(Array.from({ length: side * side }, (_, at) => data[at * 4 + 3] / 255))
  }
  return sheets
}
