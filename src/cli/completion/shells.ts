/** The shells a completion script is there for. */
export const shells = ['bash', 'zsh', 'fish', 'powershell'] as const;

export type Shell = (typeof shells)[number];
