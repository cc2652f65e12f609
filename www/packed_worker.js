// The worker that takes packed files apart: a classic script, put behind its own binding glue when the page is built.
// It takes `{module}` once, then `{name, bytes}`, and answers `{result}` or `{problem}`.

'use strict';

(() => {
  // @ts-expect-error the glue before this script declares it
  const glue = /** @type {any} */ (wasm_bindgen);

  self.onmessage = ({ data }) => {
    const { module, name, bytes } = data;
    try {
      if (module) glue.initSync({ module });
      const result = glue.unpack(name, bytes);
      const files = /** @type {{bytes: Uint8Array}[]} */ (result.files);
      self.postMessage({ result }, { transfer: files.map((file) => file.bytes.buffer) });
    } catch (error) {
      const words = String(/** @type {any} */ (error)?.message ?? error);
      self.postMessage({ problem: `${name}: unpacking it broke down (${words}), which is a fault of Footing, not of the file; try dropping what is in it` });
    }
  };
})();
