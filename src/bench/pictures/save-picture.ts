// A picture as a file: SVG as it is, or PNG at a print resolution that is written into it.

import type { StandingPicture } from './compose.ts'

/** Browsers refuse canvases much larger than this, px along a side. */
export const MOST_SIDE_PX = 16_000

/** Size of the PNG, px. */
export const pngSize = ({ widthPx, heightPx }: StandingPicture, widthMm: number, dotsPerInch: number) => {
  const width = Math.round((widthMm / 25.4) * dotsPerInch)
  return { width, height: Math.round((width * heightPx) / widthPx) }
}

/** The SVG with its size in mm, for programs that keep to it. */
export const svgInMm = ({ svg, widthPx, heightPx }: StandingPicture, widthMm: number): string => {
  const heightMm = (widthMm * heightPx) / widthPx
  return svg.replace(/ width="[\d.]+" height="[\d.]+"/, ` width="${widthMm}mm" height="${heightMm.toFixed(2)}mm"`)
}

const crcOf = (bytes: Uint8Array): number => {
  let crc = -1
  for (const byte of bytes) {
    crc ^= byte
    for (let k = 0; k < 8; k++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0)
  }
  return ~crc >>> 0
}

/** A PNG with its resolution written into it: a pHYs chunk (PNG specification, 11.3.4.3) after the header. */
export const withResolution = (png: Uint8Array, dotsPerInch: number): Uint8Array => {
  const header = 8 + 25
  const chunk = new Uint8Array(21)
  const view = new DataView(chunk.buffer)
  const perMetre = Math.round(dotsPerInch / 0.0254)
  view.setUint32(0, 9)
  chunk.set([0x70, 0x48, 0x59, 0x73], 4)
  view.setUint32(8, perMetre)
  view.setUint32(12, perMetre)
  chunk[16] = 1
  view.setUint32(17, crcOf(chunk.subarray(4, 17)))
  const whole = new Uint8Array(png.length + chunk.length)
  whole.set(png.subarray(0, header))
  whole.set(chunk, header)
  whole.set(png.subarray(header), header + chunk.length)
  return whole
}

/** Rasterises a picture. @throws Error when the browser cannot make a picture of that size */
export const pngOf = async (
  picture: StandingPicture,
  widthMm: number,
  dotsPerInch: number,
): Promise<Uint8Array<ArrayBuffer>> => {
  const { width, height } = pngSize(picture, widthMm, dotsPerInch)
  if (Math.max(width, height) > MOST_SIDE_PX)
    throw new Error(`${width} × ${height} px is more than a browser draws; choose a smaller width or resolution`)
  const address = URL.createObjectURL(new Blob([picture.svg], { type: 'image/svg+xml' }))
  try {
    const image = new Image()
    image.width = width
    image.height = height
    image.src = address
    await image.decode()
    const canvas = document.createElement('canvas')
    canvas.width = width
    canvas.height = height
    canvas.getContext('2d')?.drawImage(image, 0, 0, width, height)
    const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/png'))
    canvas.width = 0
    if (!blob) throw new Error('the browser could not make the picture; choose a smaller width or resolution')
    return new Uint8Array(withResolution(new Uint8Array(await blob.arrayBuffer()), dotsPerInch))
  } finally {
    URL.revokeObjectURL(address)
  }
}
