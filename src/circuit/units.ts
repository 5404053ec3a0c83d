/** Plain numbers that carry a unit by their type's name; SI throughout. */
export type Volts = number;
export type Amps = number;
export type Ohms = number;
export type Farads = number;
export type Minutes = number;
export type Metres = number;
/** A share of one: 0.1 is 10 %. */
export type Ratio = number;
