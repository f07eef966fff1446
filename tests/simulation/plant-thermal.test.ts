/**
 * The plant's heat against the tray of published hotbed and bench-heat figures: rise above the room
 * of 6..11 K (10..20 F, extension), U = 8..12 W/m2K (common practice), C dT/dt = P u - UA (T - Ta).
 */
import { describe, expect, it } from 'vitest';
import { trayLoss } from '../../firmware/bench/plant/climate';
import { LID_EFFECTS } from '../../firmware/bench/plant/lid';
import { MAT, ThermalMasses, trayHeatCapacityJK } from '../../firmware/bench/plant/thermal';
import { saturationKpa, wetBulbC } from '../../shared/physics/vapour';
import { LID_PLACES, type LidPlace } from '../../shared/profile/profile';

const FLAT_M2 = 0.254 * 0.508;
const WATER_G = 4064;
const ROOM_C = 18;
const U_WM2K = 10;

/** A soaked flat with insulation below so good that all heat leaves through the top. */
function soakedFlat() {
  const masses = new ThermalMasses({ ...MAT, areaM2: FLAT_M2, undersideWM2K: 0 }, ROOM_C);
  const heat = {
    capacityJK: trayHeatCapacityJK(WATER_G, 356, 0),
    lossWK: U_WM2K * FLAT_M2,
    evaporationW: 0,
    onMat: true,
  };
  return {
    masses,
    heat,
    run(hours: number, fluxWM2: number): void {
      for (let s = 0; s < hours * 3600; s++) masses.step(1, fluxWM2 * FLAT_M2, heat, ROOM_C);
    },
  };
}

describe('the heated tray', () => {
  it('holds the heat of its water: 17.3 kJ/K', () => {
    expect(soakedFlat().heat.capacityJK).toBeCloseTo(17_300, -2);
  });

  it.each([
    [60, 6],
    [100, 10],
    [120, 12],
  ])('with %d W/m2 settles %d K above the room', (fluxWM2, riseK) => {
    const flat = soakedFlat();
    flat.run(60, fluxWM2);
    expect(flat.masses.rootZoneC - ROOM_C).toBeCloseTo(riseK, 2);
  });

  it.each([
    [60, 1.6],
    [100, 2.7],
    [120, 3.2],
  ])('with %d W/m2 first warms by %d K/h', (fluxWM2, slopeKPerH) => {
    const flat = soakedFlat();
    // The mat itself warms first; the slope is that of the tray right afterwards.
    flat.run(0.2, fluxWM2);
    const beforeC = flat.masses.rootZoneC;
    flat.run(0.1, fluxWM2);
    const slope = (flat.masses.rootZoneC - beforeC) / 0.1;
    expect(slope).toBeGreaterThan(slopeKPerH * 0.9);
    expect(slope).toBeLessThan(slopeKPerH * 1.02);
  });

  it('has a time constant of 3.73 h, and the mat adds a few per cent', () => {
    const flat = soakedFlat();
    let hours = 0;
    while (flat.masses.rootZoneC - ROOM_C < 10 * (1 - Math.exp(-1))) {
      flat.run(0.01, 100);
      hours += 0.01;
    }
    expect(hours).toBeGreaterThan(3.73);
    expect(hours).toBeLessThan(3.73 * 1.06);
  });

  it('under two-point control at 24 C +/- 0.5 K cycles 37.4 min on, 37.4 min off', () => {
    const flat = soakedFlat();
    let on = true;
    let onS = 0;
    let offS = 0;
    let cycles = 0;
    while (cycles < 11) {
      flat.run(1 / 3600, on ? 120 : 0);
      const { rootZoneC } = flat.masses;
      if (cycles >= 1) on ? onS++ : offS++;
      if (on && rootZoneC > 24.5) on = false;
      else if (!on && rootZoneC < 23.5) {
        on = true;
        cycles++;
      }
    }
    // The mat's own mass lets the tray run on a little at each switch: longer cycles, same duty.
    expect(onS / (onS + offS)).toBeCloseTo(0.5, 2);
    expect(onS / 600).toBeGreaterThan(37.4);
    expect(onS / 600).toBeLessThan(37.4 * 1.15);
  });

  it('does not reach a set point above the room by more than the steady rise', () => {
    const flat = soakedFlat();
    flat.run(100, 120);
    expect(flat.masses.rootZoneC).toBeLessThan(ROOM_C + 12.01);
  });

  it('is cooled by cold feed as mixing says: 500 g of 18 C into a tray at 26 C take 0.9 K', () => {
    const flat = soakedFlat();
    flat.masses.rootZoneC = 26;
    flat.masses.mixIn(500, 18, flat.heat.capacityJK);
    expect(flat.masses.rootZoneC).toBeCloseTo(26 - (8 * 500 * 4.186) / (17_311 + 500 * 4.186), 3);
  });

  it('cools to the room when lifted off a mat that stays warm', () => {
    const flat = soakedFlat();
    flat.run(60, 100);
    flat.heat.onMat = false;
    flat.run(30, 100);
    expect(flat.masses.rootZoneC).toBeCloseTo(ROOM_C, 1);
    expect(flat.masses.matC).toBeGreaterThan(ROOM_C + 5);
  });
});

interface Scene {
  readonly lid: LidPlace;
  readonly airC: number;
  readonly humidityShare: number;
  readonly leafAreaIndex: number;
  readonly ppfd: number;
}

/** Where the root zone of the bench's tray settles, C, with so much heat from below. */
function settledC(scene: Scene, fluxWM2: number): number {
  const roomKpa = scene.humidityShare * saturationKpa(scene.airC);
  const masses = new ThermalMasses(MAT, scene.airC);
  const heat = { capacityJK: 5000, lossWK: 1, evaporationW: 0, onMat: true };
  for (let minute = 0; minute < 12 * 60; minute++) {
    const loss = trayLoss({
      ...scene,
      lid: LID_EFFECTS[scene.lid],
      roomKpa,
      lightWM2: scene.ppfd / 4.6,
      rootZoneC: masses.rootZoneC,
      waterShare: 1,
      turgor: 1,
    });
    heat.lossWK = loss.topWM2K * MAT.areaM2;
    heat.evaporationW = loss.drawnWM2 * MAT.areaM2;
    for (let s = 0; s < 60; s++) masses.step(1, fluxWM2 * MAT.areaM2, heat, scene.airC);
  }
  return masses.rootZoneC;
}

describe('the root zone under what evaporates', () => {
  const scenes = LID_PLACES.flatMap((lid) =>
    [0, 1, 3, 6].flatMap((leafAreaIndex) =>
      [0.3, 0.55, 0.9].map((humidityShare) => ({ lid, leafAreaIndex, humidityShare })),
    ),
  );

  it('never falls below the wet bulb, whatever leaf, lid and air, nor does leaf', () => {
    for (const scene of scenes) {
      const airC = 22;
      const wetC = wetBulbC(airC, scene.humidityShare * saturationKpa(airC));
      const dark = { ...scene, airC, ppfd: 0 };
      for (const ppfd of [0, 175]) {
        const where = `${JSON.stringify(scene)} at ${ppfd}`;
        expect(settledC({ ...dark, ppfd }, 0), where).toBeGreaterThanOrEqual(wetC);
      }
      const { leafC } = trayLoss({
        ...dark,
        lid: LID_EFFECTS[scene.lid],
        roomKpa: scene.humidityShare * saturationKpa(airC),
        lightWM2: 0,
        rootZoneC: airC,
        waterShare: 1,
        turgor: 1,
      });
      expect(leafC, JSON.stringify(scene)).toBeGreaterThanOrEqual(wetC - 0.01);
    }
  });

  it('is warmer than the room with the mat on, under a full stand in dry air too', () => {
    const scene = {
      lid: 'off',
      airC: 22,
      humidityShare: 0.4,
      leafAreaIndex: 3,
      ppfd: 175,
    } as const;
    // Leaves pay for what they evaporate themselves; the wool under them is shaded and sheltered.
    expect(settledC(scene, 120) - 22).toBeGreaterThan(4);
  });

  it('is warmed by the mat as the flux says, less what evaporates more: 7 to 14 K by 120 W/m2', () => {
    for (const scene of scenes) {
      const full = { ...scene, airC: 18, ppfd: 0 };
      const liftK = settledC(full, 120) - settledC(full, 0);
      // A closed lid lets 8 W/m2K up and the underside 0.8; free wet wool twice that.
      expect(liftK, JSON.stringify(scene)).toBeGreaterThan(7);
      expect(liftK, JSON.stringify(scene)).toBeLessThan(18);
    }
  });

  it('under a closed lid comes as far above the room as the thermal table says', () => {
    const scene = {
      lid: 'closed',
      airC: 18,
      humidityShare: 0.55,
      leafAreaIndex: 0,
      ppfd: 0,
    } as const;
    for (const fluxWM2 of [60, 100, 120]) {
      expect(settledC(scene, fluxWM2) - 18).toBeCloseTo(fluxWM2 / 8.9, 0);
    }
  });
});
