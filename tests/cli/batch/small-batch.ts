import { textOf } from '../example-files.js';

/** The towel rail and its readings, as the README shows them, by file name. */
export const shown: Readonly<Record<string, string>> = Object.fromEntries(
  [...textOf('README.md').matchAll(/^```yaml\n# (\S+)\n([\s\S]*?)^```$/gm)].map(
    ([, name = '', body = '']) => [name, body],
  ),
);

export const rail = 'towel-rail.circuit.yaml';

/** A job of one reading, quick to answer; the rail is as it should be when it reads about 230. */
export function railJob(id: string | number, volts: number): string {
  const readings = {
    loadside: 'readings/1',
    readings: [{ in: {}, red: 'MAINS.L', black: 'MAINS.N', reads: `${volts} V` }],
  };
  return JSON.stringify({ id, circuit: rail, readings });
}
