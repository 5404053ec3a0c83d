import { clean } from './clean.js';

/** A piece of XML text, ready to stand in a document. */
export type Xml = string;

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
};

/**
 * Any text as XML 1.0 text, in content and in attributes. What XML forbids (most controls, lone surrogates, U+FFFE) is
 * made visible: not even a numeric reference may stand for it (XML 1.0, productions Char and CharRef).
 */
export function xmlText(text: string): Xml {
  return clean(text).replace(/[&<>"']/g, (character) => entities[character] ?? '');
}

/** Lines of text as content; in an attribute line ends would become blanks. */
export function xmlLines(lines: readonly string[]): Xml {
  return lines.map(xmlText).join('\n');
}

/** An element on lines of its own, each child too; `children` are elements, or text in one string. */
export function xmlElement(
  name: string,
  attributes: Readonly<Record<string, string | number>>,
  children: readonly Xml[] | Xml = [],
): Xml {
  const written = Object.entries(attributes).map(([key, value]) => ` ${key}="${xmlText(String(value))}"`);
  const open = `<${name}${written.join('')}`;
  if (children.length === 0) return `${open}/>`;
  return typeof children === 'string'
    ? `${open}>${children}</${name}>`
    : `${open}>\n${children.join('\n')}\n</${name}>`;
}
