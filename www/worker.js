// The worker: a classic script, put behind the binding glue when the page is built.
// It takes `{call, name, …}` and answers `{call, result}` or `{call, problem}`.

'use strict';

(() => {
  // @ts-expect-error the glue before this script declares it
  const glue = /** @type {any} */ (wasm_bindgen);

  /** @type {Record<string, (message: any) => any>} */
  const tasks = {
    start: ({ module }) => {
      glue.initSync({ module });
      return glue.explain_measures();
    },
    isRig: ({ file, bytes }) => glue.is_rig(file, bytes),
    load: ({ id, file, bytes, rig, swing, settings }) => {
      glue.analyse(id, file, bytes, rig, swing ? Float64Array.of(swing.from_s, swing.to_s) : undefined, settings);
      if (swing) return glue.show_recording(id);
      const several = glue.swings_in(id, file, settings);
      return { ...glue.show_recording(id), several };
    },
    beside: ({ id, held, file, swing, settings }) =>
      glue.analyse_beside(id, held, file, swing.from_s, swing.to_s, settings) ? glue.show_recording(id) : null,
    between: ({ ids }) => glue.between(ids),
    propose: ({ file, bytes, handed }) => glue.propose_wiring(file, bytes, handed),
    columns: ({ file, bytes }) => glue.table_columns(file, bytes),
    tryWiring: ({ file, bytes, rig, settings }) => glue.try_wiring(file, bytes, rig, settings),
    again: ({ id, file, settings }) => {
      glue.analyse_again(id, file, settings);
      return glue.show_recording(id);
    },
    sets: ({ a, b, one }) => glue.show_sets(a, b, one),
    measures: ({ one, a, b }) => glue.show_measures(one, a, b),
    compare: ({ a, b, choice }) => glue.compare_sets(a, b, choice),
    pack: ({ words, base }) => glue.pack_link(words, base),
    save: ({ table, words, link }) => glue.save_comparison(table, words, link),
    saveRecordings: ({ ids, what, settings }) => glue.save_recordings(ids, what, settings),
    openLink: ({ text }) => glue.open_link(text),
    forget: ({ id }) => glue.forget(id),
  };

  self.onmessage = ({ data }) => {
    const { call, name } = data;
    try {
      const result = tasks[name](data);
      const columns = /** @type {Float64Array[]} */ (result?.columns ?? []);
      self.postMessage({ call, result }, { transfer: columns.map((c) => c.buffer) });
    } catch (error) {
      const problem = /** @type {any} */ (error);
      const broken = problem instanceof WebAssembly.RuntimeError;
      const known = typeof problem?.text === 'string';
      const words = String(problem?.message ?? problem);
      self.postMessage({
        call,
        problem: known
          ? problem.text
          : `${data.file ?? 'this'}: the reading broke down (${words}), which is a fault of Footing, not of the file; try another export of it`,
        broken,
        wants: problem?.wants_wiring === true,
      });
    }
  };
})();
