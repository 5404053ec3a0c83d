/**
 * Seals keep off a casual look: AES-256-GCM with a key derived from what stands openly in the exercise, so that a change
 * to that is noticed as well, and from the trainer's passphrase where there is one. Without a passphrase whoever takes
 * this program apart can open them.
 */
import { createCipheriv, createDecipheriv, createHash, createHmac, hkdfSync, scryptSync } from 'node:crypto';

export type Purpose = 'bench' | 'answer' | 'record';

const algorithm = 'aes-256-gcm';
const keyBytes = 32;
const nonceBytes = 12;
const tagBytes = 16;

/** Sealed texts are padded to this, for their length would tell of what is in them. */
const blockBytes = 512;

/** A key for one purpose, from the open text and perhaps a passphrase. */
export function sealingKey(openText: string, purpose: Purpose, passphrase?: string | undefined): Uint8Array {
  const salt = createHash('sha256').update(openText).digest();
  const info = `loadside ${purpose}/1`;
  if (passphrase === undefined) return new Uint8Array(hkdfSync('sha256', salt, salt, info, keyBytes));
  return scryptSync(
    passphrase.normalize('NFC'),
    createHash('sha256').update(salt).update(info).digest(),
    keyBytes,
  );
}

/** Base64 of nonce, tag and text. The nonce comes from the text: the same exercise is the same file again. */
export function sealed(key: Uint8Array, text: string): string {
  const bytes = Buffer.from(text);
  const padded = Buffer.concat([bytes, Buffer.alloc(blockBytes - (bytes.length % blockBytes), ' ')]);
  const nonce = createHmac('sha256', key).update(padded).digest().subarray(0, nonceBytes);
  const cipher = createCipheriv(algorithm, key, nonce);
  const body = Buffer.concat([cipher.update(padded), cipher.final()]);
  return Buffer.concat([nonce, cipher.getAuthTag(), body]).toString('base64');
}

/** Undefined where the key is not the one it was sealed with. */
export function opened(key: Uint8Array, text: string): string | undefined {
  const bytes = Buffer.from(text, 'base64');
  const [nonce, tag] = [bytes.subarray(0, nonceBytes), bytes.subarray(nonceBytes, nonceBytes + tagBytes)];
  if (tag.length < tagBytes) return undefined;
  const decipher = createDecipheriv(algorithm, key, nonce, { authTagLength: tagBytes });
  decipher.setAuthTag(tag);
  try {
    const body = Buffer.concat([decipher.update(bytes.subarray(nonceBytes + tagBytes)), decipher.final()]);
    return body.toString().trimEnd();
  } catch {
    return undefined;
  }
}

/** 16 hexadecimal digits that only this key gives for this text. */
export function lineSeal(key: Uint8Array, text: string): string {
  return createHmac('sha256', key).update(text).digest('hex').slice(0, 16);
}

/** 32 hexadecimal digits that stand for a text. */
export function fingerprintOf(text: string): string {
  return createHash('sha256').update(text).digest('hex').slice(0, 32);
}
