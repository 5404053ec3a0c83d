import type { Path, Raw } from '../../text/text.js';
import type { Draft } from '../draft.js';
import { addConnector } from './connector.js';
import { addLoad } from './load.js';
import { addModule } from './module.js';
import { addProtector } from './protector.js';
import { addSupply } from './supply.js';
import { addSwitch } from './switch.js';

type Section = 'supplies' | 'switches' | 'protectors' | 'loads' | 'modules' | 'connectors';

/**
 * The table of kinds, in the order they are built: loads and modules look up what the supplies give. Wires are
 * a list, not a map, and are added by build.ts.
 */
const kinds: Readonly<Record<Section, unknown>> = {
  supplies: addSupply,
  switches: addSwitch,
  protectors: addProtector,
  loads: addLoad,
  modules: addModule,
  connectors: addConnector,
};

export const sections: readonly Section[] = Object.keys(kinds) as Section[];

type FutureSection = 'relays' | 'passives' | 'transformers';

/** Accepted in a file, checked in shape, and refused by name until they are computed. */
export const futureSections: readonly FutureSection[] = ['relays', 'passives', 'transformers'];

/** Builds every part of one section. */
export function addPart(draft: Draft, raw: Raw.RawCircuit, section: Section): void {
  const add = kinds[section] as (draft: Draft, name: string, raw: unknown, path: Path) => void;
  for (const [name, each] of Object.entries(raw[section] ?? {})) add(draft, name, each, [section, name]);
}
