import { readFileSync } from 'node:fs';
import { readEverydayYaml } from '../../src/text/read-everyday-yaml.js';
import * as L from '../../src/text/limits.js';
console.log(Object.keys(L));
const t = readFileSync('/tmp/me/batchx/visits/000000.readings.yaml','utf8');
const lim: any = { ...(L as any).limits, bytes: 1e6 };
const lines = t.split('\n');
for (let i=1;i<=lines.length;i++) { const r = readEverydayYaml(lines.slice(0,i).join('\n')+'\n', lim); console.log(i, r === undefined ? 'GAVE UP' : 'ok', lines[i-1]); }
