/** The package's version; the build puts in what package.json says. */
export const version: string = typeof LOADSIDE_VERSION === 'string' ? LOADSIDE_VERSION : '0.0.0';

declare const LOADSIDE_VERSION: string | undefined;
