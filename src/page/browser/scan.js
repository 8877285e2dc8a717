// Reads the code on a photographed label, here on the phone: the picture goes nowhere.
import { decodeQR } from "/qr.js";

// Which part of each side is looked at, and how long the longer side may be then. A phone's picture is so large that the
// middle of it, untouched, shows a label best.
const TRIES = [[0.5, 2000], [1, 2000], [0.5, 1300], [1, 1300], [0.5, 900], [1, 700]];

const picture = (file) => createImageBitmap(file).catch(() => new Promise((done, failed) => {
  const image = new Image();
  image.onload = () => done(image);
  image.onerror = failed;
  image.src = URL.createObjectURL(file);
}));

// What the code says; null where none is seen.
export async function read(file) {
  const seen = await picture(file);
  const canvas = document.createElement("canvas");
  const context = canvas.getContext("2d", { willReadFrequently: true });
  for (const [part, longest] of TRIES) {
    const width = seen.width * part, height = seen.height * part;
    const scale = Math.min(1, longest / Math.max(width, height));
    canvas.width = Math.round(width * scale);
    canvas.height = Math.round(height * scale);
    context.drawImage(seen, (seen.width - width) / 2, (seen.height - height) / 2, width, height, 0, 0, canvas.width, canvas.height);
    // What is said meanwhile is to be shown.
    await new Promise((done) => setTimeout(done));
    try { return decodeQR(context.getImageData(0, 0, canvas.width, canvas.height)); } catch { /* None is seen this way. */ }
  }
  return null;
}
