import type { Path, Raw } from '../../text/text.js';
import type { Draft } from '../draft.js';
import { addConnector } from './connector.js';
import { addLoad } from './load.js';
import { addModule } from './module.js';
import { addPassive } from './passive.js';
import { addProtector } from './protector.js';
import { addRelay } from './relay.js';
import { addSupply } from './supply.js';
import { addSwitch } from './switch.js';
import { addTransformer } from './transformer.js';

type Section =
  | 'supplies'
  | 'switches'
  | 'protectors'
  | 'loads'
  | 'relays'
  | 'modules'
  | 'passives'
  | 'transformers'
  | 'connectors';

/**
 * The table of kinds, in the order they are built: loads, relays and modules look up what the supplies give. Wires are
 * a list, not a map, and are added by build.ts.
 */
const kinds: Readonly<Record<Section, unknown>> = {
  supplies: addSupply,
  switches: addSwitch,
  protectors: addProtector,
  loads: addLoad,
  relays: addRelay,
  modules: addModule,
  passives: addPassive,
  transformers: addTransformer,
  connectors: addConnector,
};

export const sections: readonly Section[] = Object.keys(kinds) as Section[];

/** Builds every part of one section. */
export function addPart(draft: Draft, raw: Raw.RawCircuit, section: Section): void {
  const add = kinds[section] as (draft: Draft, name: string, raw: unknown, path: Path) => void;
  for (const [name, each] of Object.entries(raw[section] ?? {})) add(draft, name, each, [section, name]);
}
