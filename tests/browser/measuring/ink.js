// How dark each pixel of each picture is, a byte each, in letters: numbers would take far longer on their way. Runs in the browser: it knows nothing but what it is handed.
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
    sheets.push(btoa(String.fromCharCode(...data.filter((_, at) => at % 4 === 3))))
  }
  return sheets
}
