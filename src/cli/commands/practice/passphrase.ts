import type { World } from '../../world.js';

/** The trainer's, from the option or the environment; an empty one is none. */
export function passphraseOf(
  world: World,
  { passphrase }: { readonly passphrase?: string },
): string | undefined {
  return passphrase || world.env['LOADSIDE_PASSPHRASE'] || undefined;
}
