// Zip archives and workbooks, written with what Node has.

import { crc32, deflateRawSync } from 'node:zlib';

import { written } from './kit.mjs';

/** @typedef {{name: string, bytes: Buffer}} Named */

/**
 * A zip archive, written by APPNOTE 4.3.6 to 4.3.16 with what Node has.
 * @param {string} name @param {Named[]} files @returns {Named}
 */
export function zip(name, files) {
  const parts = /** @type {Buffer[]} */ ([]);
  const list = /** @type {Buffer[]} */ ([]);
  let at = 0;
  for (const file of files) {
    const packed = deflateRawSync(file.bytes);
    const path = Buffer.from(file.name);
    // From the version needed to the length of the extra field, as both headers have it.
    const common = Buffer.alloc(26);
    common.writeUInt16LE(20, 0);
    common.writeUInt16LE(0x0800, 2);
    common.writeUInt16LE(8, 4);
    common.writeUInt16LE(0x21, 8);
    common.writeUInt32LE(crc32(file.bytes), 10);
    common.writeUInt32LE(packed.length, 14);
    common.writeUInt32LE(file.bytes.length, 18);
    common.writeUInt16LE(path.length, 22);
    const own = Buffer.alloc(14);
    own.writeUInt32LE(at, 10);
    parts.push(Buffer.from('PK\x03\x04'), common, path, packed);
    list.push(Buffer.from('PK\x01\x02\x14\x00'), common, own, path);
    at += 30 + path.length + packed.length;
  }
  const listed = Buffer.concat(list);
  const end = Buffer.alloc(22);
  end.write('PK\x05\x06');
  end.writeUInt16LE(files.length, 8);
  end.writeUInt16LE(files.length, 10);
  end.writeUInt32LE(listed.length, 12);
  end.writeUInt32LE(at, 16);
  return { name, bytes: Buffer.concat([...parts, listed, end]) };
}

/**
 * A workbook with a sheet for each table of comma-separated text, in the least that ECMA-376 asks for.
 * @param {string} name @param {[string, string][]} sheets
 */
export function workbook(name, sheets) {
  const types = 'application/vnd.openxmlformats-officedocument.spreadsheetml';
  const relations = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships';
  const head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>';
  const main = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"';
  const all = sheets.map((_, i) => i + 1);
  /** @param {string} text */
  const rows = (text) =>
    text
      .trim()
      .split(/\r?\n/)
      .map((line, r) => {
        const cells = line.split(',').map((cell, c) => {
          const place = `${c > 25 ? 'A' : ''}${String.fromCharCode(65 + (c % 26))}${r + 1}`;
          return r === 0 || Number.isNaN(Number(cell)) || cell === ''
            ? `<c r="${place}" t="inlineStr"><is><t>${cell}</t></is></c>`
            : `<c r="${place}"><v>${cell}</v></c>`;
        });
        return `<row r="${r + 1}">${cells.join('')}</row>`;
      })
      .join('');
  const packed = 'http://schemas.openxmlformats.org/package/2006';
  return zip(name, [
    written('[Content_Types].xml', `${head}<Types xmlns="${packed}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="${types}.sheet.main+xml"/>${all.map((i) => `<Override PartName="/xl/worksheets/sheet${i}.xml" ContentType="${types}.worksheet+xml"/>`).join('')}</Types>`),
    written('_rels/.rels', `${head}<Relationships xmlns="${packed}/relationships"><Relationship Id="rId1" Type="${relations}/officeDocument" Target="xl/workbook.xml"/></Relationships>`),
    written('xl/workbook.xml', `${head}<workbook ${main} xmlns:r="${relations}"><sheets>${sheets.map(([title], i) => `<sheet name="${title}" sheetId="${i + 1}" r:id="rId${i + 1}"/>`).join('')}</sheets></workbook>`),
    written('xl/_rels/workbook.xml.rels', `${head}<Relationships xmlns="${packed}/relationships">${all.map((i) => `<Relationship Id="rId${i}" Type="${relations}/worksheet" Target="worksheets/sheet${i}.xml"/>`).join('')}</Relationships>`),
    ...sheets.map(([, text], i) => written(`xl/worksheets/sheet${i + 1}.xml`, `${head}<worksheet ${main}><sheetData>${rows(text)}</sheetData></worksheet>`)),
  ]);
}
