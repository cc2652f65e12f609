// Where a page is served from, and who can open it there.

/** This computer: RFC 6761, RFC 1122, RFC 4291. */
const COMPUTER = [/^localhost$/, /\.localhost$/, /^127(\.\d+){3}$/, /^0\.0\.0\.0$/, /^\[::1?\]$/, /^\[::ffff:7f/];

/** Its own network: RFC 1918, RFC 3927, RFC 4193, RFC 4291, RFC 6762, RFC 8375; and names without a dot, which only a network's own server knows. */
const NETWORK = [/^10(\.\d+){3}$/, /^172\.(1[6-9]|2\d|3[01])(\.\d+){2}$/, /^192\.168(\.\d+){2}$/, /^169\.254(\.\d+){2}$/, /^\[f[cd]/, /^\[fe[89ab]/, /\.(local|internal|home\.arpa)$/, /^[^.[\]]+$/];

/**
 * Who can open an address: everybody, or only this computer or the network around it; a file nobody else.
 * @param {{protocol: string, hostname: string}} address @returns {'everybody' | 'network' | 'computer' | 'file'}
 */
export function whoOpens({ protocol, hostname }) {
  if (protocol !== 'http:' && protocol !== 'https:') return 'file';
  const host = hostname.toLowerCase().replace(/\.$/, '');
  if (COMPUTER.some((pattern) => pattern.test(host))) return 'computer';
  return NETWORK.some((pattern) => pattern.test(host)) ? 'network' : 'everybody';
}
