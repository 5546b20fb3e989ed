import { expect, test } from "vitest";
import { catalogue } from "../../src/engine/catalogue";
import { isRepeating } from "../../src/engine/parameters";

/** Permanent from the first release: a workbook saved today must still open in ten years. Lines are only ever added. */
const signatures = `
POLYGON_AREA(corners)
PERIMETER(corners)
OFFSET_AREA(offsets, interval, [rule])
RADIAL_AREA(radii, [rule])
EDGE_AREA(perimeter, width, [corners], [units])
GEO_AREA(points, [units])
GEO_PERIMETER(points, [units])
PURE_LIVE_SEED(purity, germination, [dormant])
SEED_RATE(grass, purpose, [bound], [units])
SEED_WEIGHT(area, rate, [pure_live_seed], [units])
SEED_DENSITY(rate, seeds_per_weight, [pure_live_seed], [units])
SEED_MIX(area, rate, shares, [pure_live_seed], [units])
GRADE(grade, nutrient)
FERTILISER_WEIGHT(area, nutrient_rate, nutrient_share, [units])
NUTRIENT_RATE(weight, area, nutrient_share, [units])
BAG_COVERAGE(bag_weight, nutrient_rate, nutrient_share, [units])
LABEL_DOSE(area, label_rate, [units])
ACTIVE_RATE(label_rate, concentration, [units])
GRANULE_ACTIVE_RATE(product_rate, active_share, [units])
SEASON_ROOM(season_limit, applied...)
TANK_LOADS(area, label_rate, spray_volume, tank, [units])
SPRAY_VOLUME(collected, area, [units])
NOZZLE_VOLUME(flow, speed, width, [units])
TOPDRESS_VOLUME(area, depth, [units])
TOPDRESS_BAGS(area, depth, bag_volume, [screen_loss], [swell], [units])
TOPDRESS_DEPTH(area, bags, bag_volume, [screen_loss], [swell], [units])
SCREEN_LOSS(opened, screened_out)
PACKS(need, pack, [short_allowed])
PACK_MIX(need, packs, [prices])
HOPPER_LOADS(amount, capacity)
WALK_LENGTH(area, swath, [directions], [units])
DELIVERED_RATE(caught, width, distance, [units])
WORK_HOURS(area, pace, [crew])
RUN_TIME(depth, application_rate, [uniformity])
WATER_VOLUME(area, depth, [units])
CATCH_UNIFORMITY(catches)
REFERENCE_ET(t_min, t_max, latitude, day_of_year, [units])
MARGIN_PRICE(cost, margin)
EACH_ROW(function, arguments...)
EDITION()
`;

test("ids, parameters and their order are those of the first release", () => {
  const told = catalogue.map(({ id, parameters }) => {
    const names = parameters.map((parameter) =>
      isRepeating(parameter)
        ? `${parameter.id}...`
        : parameter.blank === "default"
          ? `[${parameter.id}]`
          : parameter.id,
    );
    return `${id}(${names.join(", ")})`;
  });
  expect(told.sort()).toEqual(signatures.trim().split("\n").sort());
});
