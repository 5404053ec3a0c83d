// The keys a file may hold, by place, as a table: an error says which keys stand there, and the validators do not
// carry them.

const HEAD = `
/** What stands at a place: the keys of a map, and what every other key (or every entry of a list) holds. */
export interface Shape {
  readonly keys?: Readonly<Record<string, ShapeRef>>;
  readonly each?: ShapeRef;
}

/** A shape, or the name of a definition; a definition without an entry in \`shapes\` holds a single value. */
export type ShapeRef = string | Shape;

`;

function shapeOf(schema) {
  if (schema.$ref) return schema.$ref.replace('#/definitions/', '');
  const { properties, items, additionalProperties } = schema;
  const shape = {};
  if (properties)
    shape.keys = Object.fromEntries(Object.entries(properties).map(([k, v]) => [k, shapeOf(v)]));
  const each = items ?? (typeof additionalProperties === 'object' ? additionalProperties : undefined);
  if (each) shape.each = shapeOf(each);
  return Object.keys(shape).length > 0 ? shape : '';
}

/** The text of the table for schemas by name; definitions of one name are the same in all of them. */
export function shapeKeys(schemas, header) {
  const shapes = {};
  for (const [name, { definitions, ...root }] of Object.entries(schemas)) {
    for (const [key, schema] of [...Object.entries(definitions), [name, root]]) {
      const shape = shapeOf(schema);
      if (typeof shape === 'object') shapes[key] = shape;
    }
  }
  return `${header}${HEAD}export const shapes: Readonly<Record<string, Shape>> = ${JSON.stringify(shapes)};\n`;
}
