import { copyFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync, rmSync } from 'node:fs';
import { numbersFrom } from '../../src/practice/random.js';
const [ex, count='600', folder='/tmp/me/batchx'] = process.argv.slice(2);
rmSync(folder, {recursive:true, force:true}); mkdirSync(folder+'/visits', { recursive: true });
const texts: string[] = [];
let circuit = '';
if (ex === 'rail') {
  const shown = [...readFileSync('README.md', 'utf8').matchAll(/^```yaml\n# (\S+)\n([\s\S]*?)^```$/gm)];
  const [c, r] = shown.map(([, , b = '']) => b);
  circuit = 'towel-rail.circuit.yaml';
  writeFileSync(folder+'/'+circuit, c!);
  const sound = r!.replace('reads: 0.1 V', 'reads: 230.5 V').replace('OL', '0.1 ohm').replace('works: no', 'works: yes');
  texts.push(r!, sound, sound);
} else {
  circuit = `${ex}.circuit.yaml`;
  copyFileSync(`examples/${ex}/${circuit}`, `${folder}/${circuit}`);
  texts.push(...readdirSync(`examples/${ex}`).filter((n) => n.endsWith('.readings.yaml')).map((n) => readFileSync(`examples/${ex}/${n}`, 'utf8')));
}
const random = numbersFrom(1);
const lines: string[] = [];
for (let i = 0; i < +count; i++) {
  const text = texts[i % texts.length]!.replace(/^supply:.*\n/m, '').replace(/reads: (\d+(?:\.\d+)?) (V|ohm)/g, (_a, v, u) => `reads: ${(Number(v) * (1 + (random() - 0.5) * 0.004)).toFixed(1)} ${u}`);
  writeFileSync(`${folder}/visits/${String(i).padStart(6,'0')}.readings.yaml`, text.replace(/circuit: \S+/, `circuit: ../${circuit}`));
  lines.push(JSON.stringify({ id: i, circuit, readings: text.replace(/circuit: \S+/, `circuit: ${circuit}`) }) + '\n');
}
writeFileSync(folder + '/jobs.ndjson', lines.join(''));
