// Findings: three sentences at the top, the table under the evidence, and where in the swing the sets differ.

import { toPx } from './axis.js';
import { at, follow, glued, make, write } from './dom.js';
import { findingTable } from './finding_table.js';
import { inShort } from './headline.js';
import { inWords } from './pictures.js';
import { compared, idsOf, onChange, pairing, selected, state } from './state.js';
import { choose } from './work.js';

/** Which curves are compared in which chart of the Bench. */
const CURVES = /** @type {Record<string, string[]>} */ ({
  torque: ['torque_nm'],
  shear: ['lead_fa_n', 'trail_fa_n'],
  vertical: ['lead_fz_n', 'trail_fz_n'],
  angle: ['cop_angle_deg'],
});

const CURVE_NAMES = /** @type {Record<string, string>} */ ({
  torque_nm: 'the curve of torque',
  lead_fa_n: 'the lead foot\u2019s curve of shear',
  trail_fa_n: 'the trail foot\u2019s curve of shear',
  lead_fz_n: 'the lead foot\u2019s curve of vertical force',
  trail_fz_n: 'the trail foot\u2019s curve of vertical force',
  cop_angle_deg: 'the curve of the CoP angle',
});

/** Under each chart of A and B, the stretches in which its curves differ, in a picture and in words. */
function strips() {
  const sets = state.show === 'sets' ? compared() : null;
  for (const [chart, curves] of Object.entries(CURVES)) {
    const figure = document.querySelector(`.chart-${chart}`);
    if (!(figure instanceof HTMLElement)) continue;
    const canvas = figure.querySelector('canvas');
    const found = sets && !canvas?.hidden ? sets.compared.differences.filter((d) => curves.includes(d.curve)) : [];
    let strip = figure.querySelector('.strip');
    if (!strip) {
      strip = make('div', { class: 'strip' });
      canvas?.after(strip);
    }
    strip.replaceChildren(
      ...found.map((difference) => {
        const bars = make('div', { class: 'bars', 'aria-hidden': 'true' });
        for (const { span_s: span, higher } of difference.marks) {
          if (!span || !state.window) continue;
          const [from, to] = span.map((s) => toPx(Math.min(Math.max(s, state.window?.[0] ?? s), state.window?.[1] ?? s)));
          const bar = make('span', { class: higher ? 'bar-mark above' : 'bar-mark below' });
          bar.style.left = `${from}px`;
          bar.style.width = `${Math.max(to - from, 3)}px`;
          bars.append(bar);
        }
        const name = curves.length > 1 ? `${difference.label}: ` : '';
        const said = make('p', { class: 'strip-say' }, glued(name + difference.sentence));
        return make('div', {}, ...(difference.marks.length > 0 ? [bars] : []), said);
      }),
    );
  }
}

/** A sentence in which measures and curves go by the names a person knows. @param {string} text */
const plain = (text) =>
  text.replaceAll(/\b[a-z0-9]+(?:_[a-z0-9]+)+\b/g, (id) => CURVE_NAMES[id] ?? state.rows.find((row) => row.id === id)?.label ?? id.replaceAll('_', ' '));

export function mountFindings() {
  const section = at('findings', HTMLElement);
  const show = findingTable(at('findings-place', HTMLDivElement), 'finding');
  const where = at('findings-where', HTMLUListElement);
  const buttons = /** @type {[string, Partial<typeof state.choice>, () => boolean][]} */ ([
    ['design-separate', { paired: false }, () => !state.choice.paired],
    ['design-paired', { paired: true }, () => state.choice.paired],
    ['align-top', { linear: false }, () => !state.choice.linear],
    ['align-whole', { linear: true }, () => state.choice.linear],
  ]);
  for (const [id, change] of buttons) at(id, HTMLButtonElement).addEventListener('click', () => choose(change));

  onChange(() => {
    const now = state.comparison;
    section.hidden = !now;
    section.setAttribute('aria-busy', String(state.comparing));
    const [first, ...more] = now && !('problem' in now) ? now.said.sentences : [];
    const places = at('sentences-more', HTMLDivElement);
    places.hidden = !first;
    for (const [i, text] of more.entries()) write(/** @type {Element} */ (places.children[i]), text);
    const own = at('recording-sentence', HTMLParagraphElement);
    const one = selected();
    own.hidden = !first || state.show === 'sets' || !one?.view;
    write(own, one?.view ? inShort(one) : '');
    strips();
    if (!now) return;
    for (const [id, , on] of buttons) at(id, HTMLButtonElement).setAttribute('aria-pressed', String(on()));
    const [a, b] = [idsOf('A').length, idsOf('B').length];
    const { possible, without } = pairing();
    const paired = at('design-paired', HTMLButtonElement);
    paired.disabled = !possible && !state.choice.paired;
    const problem = 'problem' in now ? now.problem : '';
    const left = without.map((r) => r.name).join(', ');
    const alone = state.choice.paired && possible && left !== '' ? ` Left out because its partner does not count: ${left}.` : '';
    const why = possible
      ? 'Swing by swing compares the first of A with the first of B, the second with the second, in the order of the Tray.'
      : `Swing by swing needs as many swings in A as in B; there are ${a} and ${b}${state.choice.paired ? ', so they are compared as separate sets' : ''}.`;
    // How they were laid, which is not what was chosen where no swing has a top.
    const linear = 'problem' in now ? state.choice.linear : now.said.linear;
    const laid = linear
      ? `Curves are compared over the whole swing as one stretch, takeaway to impact${state.choice.linear ? '' : ': no swing has a top'}.`
      : 'Curves are compared with takeaways, tops and impacts laid on each other.';
    write(at('findings-pairs', HTMLSpanElement), why);
    write(at('findings-laid', HTMLSpanElement), `${alone} ${laid} Stretches are drawn at the mean instants of both sets.`);
    const refused = at('findings-problem', HTMLParagraphElement);
    refused.hidden = problem === '';
    write(refused, problem === '' ? '' : `A and B cannot be compared: ${plain(problem)}.`);
    at('findings-found', HTMLDivElement).hidden = problem !== '';
    if ('problem' in now) {
      where.replaceChildren();
      return;
    }
    show(now.said);
    follow(
      where,
      now.compared.differences,
      (d) => JSON.stringify(d),
      inWords,
      () => {},
    );
    const { tested } = now.compared;
    write(at('findings-tested', HTMLParagraphElement), tested ? `${tested}.` : '');
  });
}
