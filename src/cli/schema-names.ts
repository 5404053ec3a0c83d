/** The schemas of the package, by the name of their file: `schemas/NAME.schema.json`. */
export const schemaNames = ['circuit', 'readings', 'report'] as const;
