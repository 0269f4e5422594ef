/* Every kind by name, for code that needs one of them.  kinds.c has the one list. */
#ifndef WEIRBOOK_MODEL_KINDS_H
#define WEIRBOOK_MODEL_KINDS_H

#include "model/record.h"

extern const struct kind farm_kind;
extern const struct kind places_kind;
extern const struct kind loops_kind;
extern const struct kind tanks_kind;
extern const struct kind units_kind;
extern const struct kind zones_kind;
extern const struct kind beds_kind;
extern const struct kind staff_kind;
extern const struct kind partners_kind;
extern const struct kind species_kind;
extern const struct kind species_limits_kind;
extern const struct kind ration_steps_kind;
extern const struct kind feeds_kind;
extern const struct kind feeding_plans_kind;
extern const struct kind crops_kind;
extern const struct kind varieties_kind;
extern const struct kind trays_kind;
extern const struct kind products_kind;
extern const struct kind prices_kind;
extern const struct kind materials_kind;
extern const struct kind chores_kind;
extern const struct kind probes_kind;
extern const struct kind set_up_changes_kind;
extern const struct kind fish_lots_kind;
extern const struct kind seed_lots_kind;
extern const struct kind feed_lots_kind;
extern const struct kind material_lots_kind;
extern const struct kind incidents_kind;
extern const struct kind crop_lots_kind;
extern const struct kind fish_moves_kind;
extern const struct kind fish_counts_kind;
extern const struct kind fish_deaths_kind;
extern const struct kind weighings_kind;
extern const struct kind feedings_kind;
extern const struct kind crop_moves_kind;
extern const struct kind crop_counts_kind;
extern const struct kind crop_losses_kind;
extern const struct kind harvests_kind;
extern const struct kind stocktakes_kind;
extern const struct kind water_tests_kind;
extern const struct kind doses_kind;
extern const struct kind water_moves_kind;
extern const struct kind solids_kind;
extern const struct kind treatments_kind;
extern const struct kind scoutings_kind;
extern const struct kind climate_notes_kind;
extern const struct kind packings_kind;
extern const struct kind packing_lines_kind;
extern const struct kind discards_kind;
extern const struct kind orders_kind;
extern const struct kind order_lines_kind;
extern const struct kind order_changes_kind;
extern const struct kind shipments_kind;
extern const struct kind shipment_lines_kind;
extern const struct kind complaints_kind;
extern const struct kind holds_kind;
extern const struct kind chores_done_kind;
extern const struct kind alarms_kind;
extern const struct kind labour_kind;
extern const struct kind reviews_kind;
extern const struct kind closings_kind;
extern const struct kind closing_lines_kind;
extern const struct kind handovers_kind;
extern const struct kind photos_kind;
extern const struct kind probe_faults_kind;
extern const struct kind readings_kind;
extern const struct kind changes_kind;

#endif
