/* The one list of kinds, in the order of dependence: what a kind refers to stands before it, but for
 * references that go round (incidents, parents), which import resolves by reading all names first. */
#include "model/kinds.h"

const struct kind *const kinds[] = {
	&farm_kind,
	/* set-up */
	&places_kind, &loops_kind, &tanks_kind, &units_kind, &zones_kind, &beds_kind, &staff_kind,
	&partners_kind, &species_kind, &species_limits_kind, &ration_steps_kind, &feeds_kind,
	&feeding_plans_kind, &crops_kind, &varieties_kind, &trays_kind, &products_kind,
	&prices_kind, &materials_kind, &chores_kind, &probes_kind, &set_up_changes_kind,
	/* lots */
	&fish_lots_kind, &seed_lots_kind, &feed_lots_kind, &material_lots_kind,
	/* entries */
	&incidents_kind, &crop_lots_kind, &fish_moves_kind, &fish_counts_kind, &fish_deaths_kind,
	&weighings_kind, &feedings_kind, &crop_moves_kind, &crop_counts_kind, &crop_losses_kind,
	&harvests_kind, &stocktakes_kind, &water_tests_kind, &doses_kind, &water_moves_kind,
	&solids_kind, &treatments_kind, &scoutings_kind, &climate_notes_kind, &packings_kind,
	&packing_lines_kind, &discards_kind, &orders_kind, &order_lines_kind, &order_changes_kind,
	&shipments_kind, &shipment_lines_kind, &complaints_kind, &holds_kind, &chores_done_kind,
	&alarms_kind, &labour_kind, &reviews_kind, &closings_kind, &closing_lines_kind,
	&handovers_kind, &photos_kind, &probe_faults_kind,
	/* kept by the service */
	&readings_kind, &changes_kind, NULL
};
