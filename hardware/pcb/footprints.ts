/**
 * The footprints, embedded in the boards so that they open without libraries. Pad places, sizes and holes are those of
 * KiCad's own footprints of the same name (which follow the makers' data sheets and IPC-7351); bodies are plain outlines.
 */
import type { Footprint } from './footprint';
import {
  axial,
  blade,
  can,
  controllerBoard,
  disc,
  header,
  mountingHole,
  resettable,
  so8,
  terminals,
  testLoop,
  to92,
  to220,
} from './footprint-shapes';

/** For an M3 screw: the hole, and room for its head. */
export const MOUNTING_HOLE = 'MountingHole:MountingHole_3.2mm_M3';
const DO_35 = { pitch: 7.62, length: 4, thick: 2, pad: 1.6, drill: 0.8 };
const DO_41 = { pitch: 10.16, length: 5.2, thick: 2.7, pad: 2.2, drill: 1.1 };
const DO_15 = { pitch: 12.7, length: 7.6, thick: 3.6, pad: 2.4, drill: 1.2 };
const DO_201 = { pitch: 15.24, length: 9.5, thick: 5.3, pad: 3.2, drill: 1.6 };
const DIN_0207 = { pitch: 10.16, length: 6.3, thick: 2.5, pad: 1.6, drill: 0.8 };

const FOOTPRINTS: Readonly<Record<string, Footprint>> = {
  'Resistor_THT:R_Axial_DIN0207_L6.3mm_D2.5mm_P10.16mm_Horizontal': axial(DIN_0207, false),
  'Diode_THT:D_DO-35_SOD27_P7.62mm_Horizontal': axial(DO_35, true),
  'Diode_THT:D_DO-41_SOD81_P10.16mm_Horizontal': axial(DO_41, true),
  'Diode_THT:D_DO-15_P12.70mm_Horizontal': axial(DO_15, true),
  'Diode_THT:D_DO-201AD_P15.24mm_Horizontal': axial(DO_201, true),
  'Capacitor_THT:CP_Radial_D12.5mm_P5.00mm': can(5, 12.5, 2.4, 1.2),
  'Capacitor_THT:CP_Radial_D5.0mm_P2.50mm': can(2.5, 5, 1.6, 0.8),
  'Capacitor_THT:C_Disc_D6.0mm_W4.4mm_P5.00mm': disc(6, 4.4),
  'Capacitor_THT:C_Disc_D5.0mm_W2.5mm_P5.00mm': disc(5, 2.5),
  'Package_SO:SOIC-8_3.9x4.9mm_P1.27mm': so8(),
  'Package_TO_SOT_THT:TO-220-3_Vertical': to220(),
  'Package_TO_SOT_THT:TO-92_Inline_Wide': to92(),
  'Fuse:FuseHolder_Blade_ATO_Littelfuse_FLR_178.6165': blade(),
  'Fuse:Fuse_Bourns_MF-RHT050': resettable(),
  'TestPoint:TestPoint_Loop_D2.50mm_Drill1.0mm': testLoop(),
  'Module:RaspberryPi_Pico_Common_THT': controllerBoard(),
  [MOUNTING_HOLE]: mountingHole(),
};

/** Geometry of a footprint by KiCad's name; throws for one that is not described here. */
export function footprint(name: string): Footprint {
  const known = FOOTPRINTS[name];
  if (known !== undefined) return known;
  const [, pins] = name.match(/^Connector_PinHeader_2\.54mm:PinHeader_1x(\d+)_/) ?? [];
  if (pins !== undefined) return header(Number(pins));
  const [, poles] = name.match(/^TerminalBlock_Phoenix:.*_1x(\d+)_P5\.08mm_/) ?? [];
  if (poles !== undefined) return terminals(Number(poles));
  throw new Error(`footprint ${name} is not described`);
}
