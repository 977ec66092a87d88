/** Making pictures against a stand-in for the browser's image functions; that real ones are upright is shown in a real browser. */
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { Refused } from "../../static/src/store";
import { makePictures, sha256Of, within } from "../../static/src/store/pictures";

interface Camera {
  width: number; // upright
  height: number;
  broken: boolean;
  /** whether the engine counts the sides that it resizes before it turns the picture */
  turnsLast: boolean;
  /** engines that know no resizing give the whole picture */
  ignoresResize: boolean;
  /** Safari before 17.2 does not know the word (webkit.org/b/250476) */
  refusesFromImage: boolean;
  makes: string;
  bytesPerPixel: number;
}

let camera: Camera;
let decoded: ImageBitmapOptions[];
let drawn: [width: number, height: number][];
let live: number;

beforeEach(() => {
  camera = {
    width: 3000,
    height: 4000,
    broken: false,
    turnsLast: false,
    ignoresResize: false,
    refusesFromImage: false,
    makes: "image/jpeg",
    bytesPerPixel: 0.2,
  };
  [decoded, drawn, live] = [[], [], 0];
  vi.stubGlobal("Image", FakeImage);
  vi.stubGlobal("document", { createElement: () => new FakeCanvas() });
  vi.stubGlobal("createImageBitmap", decode);
});

afterEach(() => vi.unstubAllGlobals());

class FakeImage {
  naturalWidth = 0;
  naturalHeight = 0;
  onload: () => void = () => undefined;
  onerror: (why: unknown) => void = () => undefined;

  set src(_: string) {
    this.naturalWidth = camera.width;
    this.naturalHeight = camera.height;
    queueMicrotask(() => (camera.width === 0 ? this.onerror(new Event("error")) : this.onload()));
  }
}

async function decode(_: Blob, options: ImageBitmapOptions) {
  decoded.push(options);
  const refused = camera.refusesFromImage && options.imageOrientation === "from-image";
  if (refused) throw new TypeError("Type error");
  if (camera.broken) throw new DOMException("cannot decode", "InvalidStateError");
  const [w, h] = camera.turnsLast ? [camera.height, camera.width] : [camera.width, camera.height];
  const scale = camera.ignoresResize
    ? 1
    : options.resizeWidth
      ? options.resizeWidth / w
      : (options.resizeHeight ?? h) / h;
  const [width, height] = [Math.round(w * scale), Math.round(h * scale)];
  live += 1;
  const close = () => (live -= 1);
  return camera.turnsLast ? { width: height, height: width, close } : { width, height, close };
}

class FakeCanvas {
  width = 0;
  height = 0;

  getContext() {
    const fillRect = () => undefined;
    return {
      fillStyle: "",
      imageSmoothingQuality: "",
      fillRect,
      drawImage: () => drawn.push([this.width, this.height]),
    };
  }

  toBlob(done: (blob: Blob) => void, _: string, quality: number): void {
    const size = Math.round(this.width * this.height * camera.bytesPerPixel * quality);
    done(new Blob([new Uint8Array(size).fill(this.width % 256)], { type: camera.makes }));
  }
}

const photo = () => new File([new Uint8Array(64)], "IMG_0042.jpg", { type: "image/jpeg" });

describe("a photo from the camera", () => {
  test("becomes at most 1600 px, in its own shape", async () => {
    const { width, height } = await makePictures(photo());
    expect([width, height]).toEqual([1200, 1600]);
  });

  test("gets a thumbnail of at most 320 px", async () => {
    await makePictures(photo());
    expect(drawn).toEqual([
      [1200, 1600],
      [240, 320],
    ]);
  });

  test("is made by an engine that turns it unasked and refuses to be asked for it", async () => {
    camera.refusesFromImage = true;
    expect((await makePictures(photo())).height).toBe(1600);
  });

  test("is shrunk by the browser while it is decoded", async () => {
    await makePictures(photo());
    expect(decoded[0]?.resizeWidth).toBe(1200);
  });

  test("is as sharp in an engine that turns after it has shrunk", async () => {
    camera.turnsLast = true;
    await makePictures(photo());
    expect(decoded.at(-1)).toMatchObject({ resizeHeight: 1200 });
    expect(drawn[0]).toEqual([1200, 1600]);
  });

  test("is shrunk all the same by an engine that knows no shrinking", async () => {
    camera.ignoresResize = true;
    const { width, height } = await makePictures(photo());
    expect([width, height]).toEqual([1200, 1600]);
  });

  test("leaves no decoded picture in memory", async () => {
    camera.turnsLast = true;
    await makePictures(photo());
    expect(live).toBe(0);
  });

  test("is named by the SHA-256 of its bytes", async () => {
    const { full, thumb } = await makePictures(photo());
    expect([full.sha256, thumb.sha256]).toEqual([await sha256Of(full.bytes), await sha256Of(thumb.bytes)]);
  });

  test("that would be too large to send is made with less detail", async () => {
    camera.bytesPerPixel = 2;
    const { full } = await makePictures(photo());
    expect(full.bytes.byteLength).toBeLessThan(3_000_000);
  });

  test("that is small already is not made larger", async () => {
    Object.assign(camera, { width: 200, height: 100 });
    const { width, height } = await makePictures(photo());
    expect([width, height]).toEqual([200, 100]);
  });
});

describe("a file that gives no picture", () => {
  test("is refused by its name when it is none", async () => {
    camera.width = 0;
    await expect(makePictures(new File(["milk"], "shopping.txt"))).rejects.toThrow(
      "“shopping.txt” is no picture",
    );
  });

  test("is refused by its name and size when the phone cannot decode it", async () => {
    Object.assign(camera, { width: 8064, height: 6048, broken: true });
    await expect(makePictures(photo())).rejects.toThrow("“IMG_0042.jpg” (8064 × 6048 pixels)");
  });

  test("is refused when the browser makes something else than a JPEG", async () => {
    camera.makes = "image/png";
    await expect(makePictures(photo())).rejects.toBeInstanceOf(Refused);
  });

  test("is refused in words where the page is not secure", async () => {
    vi.stubGlobal("crypto", { getRandomValues: crypto.getRandomValues });
    await expect(makePictures(photo())).rejects.toThrow("https");
  });
});

test.each([
  [4000, 3000, 1600, 1200],
  [3000, 4000, 1200, 1600],
  [1600, 1600, 1600, 1600],
  [40, 30, 40, 30],
  [10_000, 3, 1600, 1],
])("%i x %i within 1600 px is %i x %i", (width, height, wide, high) => {
  expect(within(width, height, 1600)).toEqual({ width: wide, height: high });
});
