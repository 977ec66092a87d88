/** Makes the two JPEGs of a photo on the phone: at most 1600 px, and a thumbnail of at most 320 px. */
import { type Picture, Refused } from "./api";

const FULL_PX = 1600;
const THUMB_PX = 320;
const MOST_BYTES = 3_000_000; // the server takes 3 MB
const QUALITIES = [0.85, 0.7, 0.5];

export interface Pair {
  full: Picture;
  thumb: Picture;
  width: number; // of the full picture, upright
  height: number;
}

/**
 * The camera's orientation is applied and nothing of its notes (position, comments) is carried over, since only
 * pixels are. Throws `Refused` with the file's name when it is no picture, or too large for this phone.
 */
export async function makePictures(file: Blob & { readonly name?: string }): Promise<Pair> {
  const name = file.name ? `“${file.name}”` : "This file";
  if (!crypto.subtle) throw new Refused("insecure", INSECURE);
  const shown = await show(file, name);
  try {
    const size = within(shown.image.naturalWidth, shown.image.naturalHeight, FULL_PX);
    const canvas = await draw(file, shown.image, size, name);
    const full = await jpeg(canvas, name);
    const small = onCanvas(canvas, within(size.width, size.height, THUMB_PX));
    empty(canvas);
    const thumb = await jpeg(small, name);
    empty(small);
    return { full, thumb, ...size };
  } finally {
    shown.close();
  }
}

// Browsers leave hashing out of pages that came over plain http.
const INSECURE =
  "Photos can be added only where the address begins with https. Open the app under its secure address.";

export async function sha256Of(bytes: ArrayBuffer): Promise<string> {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(sum, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

interface Size {
  width: number;
  height: number;
}

/** The same shape with no side longer than `most`; never larger than it was. */
export function within(width: number, height: number, most: number): Size {
  const scale = Math.min(1, most / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) };
}

/** An image element knows the upright size without the pixels having been unpacked. */
async function show(file: Blob, name: string): Promise<{ image: HTMLImageElement; close(): void }> {
  const url = URL.createObjectURL(file);
  const image = new Image();
  try {
    await new Promise((resolve, reject) => {
      image.onload = resolve;
      image.onerror = reject;
      image.src = url;
    });
    if (image.naturalWidth * image.naturalHeight === 0) throw new Error("no pixels");
  } catch {
    URL.revokeObjectURL(url);
    throw new Refused(
      "not_a_picture",
      `${name} is no picture this phone can read. Choose a photo (JPEG, PNG or WebP).`,
    );
  }
  return { image, close: () => URL.revokeObjectURL(url) };
}

async function draw(
  file: Blob,
  image: HTMLImageElement,
  size: Size,
  name: string,
): Promise<HTMLCanvasElement> {
  try {
    const bitmap = await decode(file, size);
    // Engines differ in whether they turn before or after they resize: a squeezed result is drawn from the element.
    const squeezed = Math.abs(bitmap.width / bitmap.height / (size.width / size.height) - 1) > 0.03;
    const canvas = onCanvas(squeezed ? image : bitmap, size);
    bitmap.close();
    return canvas;
  } catch {
    const pixels = `${image.naturalWidth} × ${image.naturalHeight} pixels`;
    throw new Refused(
      "unreadable",
      `${name} (${pixels}) cannot be read: it is damaged, or too large for this phone. Take the photo again, smaller if need be.`,
    );
  }
}

/**
 * The browser shrinks while it decodes. With one side given it keeps the shape, whichever way it counts sides.
 * That a picture is turned upright is not asked for: browsers do it unasked, and Safari before 17.2 refuses the word.
 */
async function decode(file: Blob, { width }: Size): Promise<ImageBitmap> {
  const how = { resizeQuality: "high" } as const;
  const bitmap = await createImageBitmap(file, { ...how, resizeWidth: width });
  if (bitmap.width === width) return bitmap;
  bitmap.close();
  return await createImageBitmap(file, { ...how, resizeHeight: width });
}

function onCanvas(source: CanvasImageSource, { width, height }: Size): HTMLCanvasElement {
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  const pen = canvas.getContext("2d", { alpha: false });
  if (!pen) throw new Error("no canvas");
  pen.fillStyle = "#fff"; // behind see-through pictures
  pen.fillRect(0, 0, width, height);
  pen.imageSmoothingQuality = "high";
  pen.drawImage(source, 0, 0, width, height);
  return canvas;
}

async function jpeg(canvas: HTMLCanvasElement, name: string): Promise<Picture> {
  for (const quality of QUALITIES) {
    const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/jpeg", quality));
    // A browser that cannot make what was asked for gives a PNG without a word.
    if (blob?.type !== "image/jpeg") break;
    if (blob.size > MOST_BYTES) continue;
    const bytes = await blob.arrayBuffer();
    return { sha256: await sha256Of(bytes), bytes };
  }
  throw new Refused(
    "not_made",
    `This phone could not make a JPEG of ${name}. Close other apps, then choose it again.`,
  );
}

/** WebKit keeps a canvas's memory until its size is gone. */
function empty(canvas: HTMLCanvasElement): void {
  canvas.width = 0;
  canvas.height = 0;
}
