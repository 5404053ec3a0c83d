import type { Element, LadderSection, Picture } from '../../draw/draw.js';
import { referenceOf } from '../../draw/draw.js';
import { cautions } from '../cautions.js';
import { jsonNumber } from '../number.js';
import { faultJson } from '../word-fault.js';

/** The `draw` answer of schemas/report.schema.json: what stands on which rung, without a place on paper. */
export function ladderJson(picture: Picture): Readonly<Record<string, unknown>> {
  const { ladder, scene } = picture;
  const { outcome } = scene;
  return {
    in: outcome === 'not-asked' ? null : scene.state.changes,
    faults: scene.faults.map(faultJson),
    outcome,
    sections: ladder.sections.map((section) => sectionJson(picture, section)),
    cautions,
  };
}

function sectionJson(picture: Picture, section: LadderSection): Readonly<Record<string, unknown>> {
  const { ladder, scene } = picture;
  const nameOf = (node: number) => ladder.circuit.nodes[node]?.name ?? '';
  const black = referenceOf(section);
  return {
    poles: section.poles.map(({ source, leg, node, rail, side }) => ({
      part: source,
      leg,
      node: nameOf(node),
      rail: nameOf(rail),
      side,
    })),
    against: black === undefined ? null : nameOf(black),
    rows: section.rows.map((row) =>
      row.map(({ rung }) => ({
        nodes: rung.nodes.map(nameOf),
        elements: rung.elements.map((element) => elementJson(picture, element)),
        starts: rung.starts,
        ends: rung.ends,
      })),
    ),
    points: [...section.nodes].flatMap((node) => {
      const expected = scene.expected(node);
      if (expected === undefined) return [];
      const volts = expected.kind === 'driven' ? jsonNumber(expected.nominal) : null;
      return [{ node: nameOf(node), potential: scene.potential(node), volts }];
    }),
  };
}

function elementJson({ ladder, scene }: Picture, element: Element): Readonly<Record<string, unknown>> {
  const { index, part, role, names } = element;
  const { works, amps } = scene.loads.get(index) ?? {};
  return {
    part,
    role,
    names,
    colour: ladder.circuit.parts.get(part)?.colour ?? null,
    conducts: scene.conducts.has(index),
    ...(works === undefined ? {} : { works }),
    ...(amps === undefined ? {} : { amps: jsonNumber(amps) }),
  };
}
