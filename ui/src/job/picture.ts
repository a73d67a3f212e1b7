// A picture made small enough for a workshop's network before it is kept: JPEG, at most 2000 px on its longer side.
// One that is small already goes as it is.
const kLongestSide = 2000;
const kSmallBytes = 700_000;
const kTypes = ["image/jpeg", "image/png", "image/webp"];

export interface Picture {
  bytes: ArrayBuffer;
  type: string;
}

export async function made(file: File): Promise<Picture> {
  const image = await decoded(file);
  const scale = Math.min(1, kLongestSide / Math.max(image.width, image.height));
  if (scale === 1 && file.size <= kSmallBytes && kTypes.includes(file.type))
    return { bytes: await file.arrayBuffer(), type: file.type };
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(image.width * scale));
  canvas.height = Math.max(1, Math.round(image.height * scale));
  const context = canvas.getContext("2d");
  if (!context) throw new Error("this browser cannot scale pictures");
  context.fillStyle = "#fff";
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.drawImage(image.source, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/jpeg", 0.85));
  if (!blob) throw new Error("this picture could not be scaled");
  return { bytes: await blob.arrayBuffer(), type: "image/jpeg" };
}

/** As the camera meant it to stand: both ways respect the turn that is written in the file. */
async function decoded(file: File): Promise<{ source: CanvasImageSource; width: number; height: number }> {
  const url = URL.createObjectURL(file);
  try {
    const image = new Image();
    image.src = url;
    await image.decode();
    return { source: image, width: image.naturalWidth, height: image.naturalHeight };
  } catch {
    throw new Error("this file is no picture that the browser can read");
  } finally {
    URL.revokeObjectURL(url);
  }
}
