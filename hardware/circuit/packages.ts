/**
 * The package each part of a board comes in: KiCad's own footprint name, and which pads each pin of the netlist has.
 * A part that stands elsewhere has pads of its own counting and no footprint.
 */
import type { Part } from './kinds';

export interface Package {
  /** Library and footprint, as KiCad's libraries name it. */
  readonly footprint: string;
  /** Pads of each pin; several when a pin has several legs. */
  readonly pads: Readonly<Record<string, readonly string[]>>;
}

const pair = (footprint: string): Package => ({ footprint, pads: { 1: ['1'], 2: ['2'] } });

/** KiCad counts a diode from its cathode. */
const diode = (footprint: string): Package => ({
  footprint: `Diode_THT:${footprint}`,
  pads: { K: ['1'], A: ['2'] },
});

const polar = (footprint: string): Package => ({
  footprint: `Capacitor_THT:${footprint}`,
  pads: { '+': ['1'], '-': ['2'] },
});

const RESISTOR = pair('Resistor_THT:R_Axial_DIN0207_L6.3mm_D2.5mm_P10.16mm_Horizontal');

/** Holder for an ISO 8820-3 blade: two legs of two pins each, the holes are wide enough for most makes of 9.3 mm. */
const BLADE = pair('Fuse:FuseHolder_Blade_ATO_Littelfuse_FLR_178.6165');

/** Holds 0.5 A at 60 V in the usual radial disc of 5.1 mm. */
const RESETTABLE = pair('Fuse:Fuse_Bourns_MF-RHT050');

const SMALL_DIODE = diode('D_DO-35_SOD27_P7.62mm_Horizontal');
const SUPPRESSOR = diode('D_DO-15_P12.70mm_Horizontal');
const DIODE_1A = diode('D_DO-41_SOD81_P10.16mm_Horizontal');
const DIODE_3A = diode('D_DO-201AD_P15.24mm_Horizontal');

/** JEDEC MS-012 with one transistor in it: source on three legs, drain on four. */
const SO_8: Package = {
  footprint: 'Package_SO:SOIC-8_3.9x4.9mm_P1.27mm',
  pads: { S: ['1', '2', '3'], G: ['4'], D: ['5', '6', '7', '8'] },
};

const TO_220: Package = {
  footprint: 'Package_TO_SOT_THT:TO-220-3_Vertical',
  pads: { G: ['1'], D: ['2'], S: ['3'] },
};

/** The American order, flat side to the eye; the letters stand on the board, for there is another. */
const TO_92: Package = {
  footprint: 'Package_TO_SOT_THT:TO-92_Inline_Wide',
  pads: { E: ['1'], B: ['2'], C: ['3'] },
};

const TEST_POINT: Package = {
  footprint: 'TestPoint:TestPoint_Loop_D2.50mm_Drill1.0mm',
  pads: { 1: ['1'] },
};

function diodePackage(style: string, ratedA: number): Package {
  if (style === 'suppressor') return SUPPRESSOR;
  if (ratedA > 1) return DIODE_3A;
  return style === 'schottky' ? DIODE_1A : SMALL_DIODE;
}

function capacitorPackage(farad: number, dielectric: string): Package {
  if (dielectric === 'electrolytic')
    return farad > 100e-6 ? polar('CP_Radial_D12.5mm_P5.00mm') : polar('CP_Radial_D5.0mm_P2.50mm');
  return farad > 1e-6
    ? pair('Capacitor_THT:C_Disc_D6.0mm_W4.4mm_P5.00mm')
    : pair('Capacitor_THT:C_Disc_D5.0mm_W2.5mm_P5.00mm');
}

/** Package of a part that is soldered to a board; null for modules and connectors, whose boards decide. */
export function packageOf(part: Part): Package | null {
  const { ratings } = part;
  switch (ratings.kind) {
    case 'resistor':
      return RESISTOR;
    case 'capacitor':
      return capacitorPackage(ratings.farad, ratings.dielectric);
    case 'diode':
      return diodePackage(ratings.style, ratings.ratedA);
    case 'fuse':
      return ratings.style === 'blade' ? BLADE : RESETTABLE;
    case 'mosfet':
      return ratings.channel === 'n' ? SO_8 : TO_220;
    case 'bipolar':
      return TO_92;
    case 'test-point':
      return TEST_POINT;
    default:
      return null;
  }
}
