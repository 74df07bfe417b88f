package contract

import (
	"math"
	"slices"
	"strings"
)

// keys that every run's log holds; "zones[]" means each of them.
var keys = strings.Fields(`conewright_run made version inputs outputs findings stages
	job.conewright job.machine job.shell job.bead job.tolerance job.overhang job.start_from job.support
	job.material.nozzle_temp job.material.bed_temp job.material.fan job.material.density
	job.planner.walls job.planner.caps job.planner.fill job.planner.fill_pattern job.planner.speed job.planner.travel_speed
	machine.conewright_machine machine.name machine.travel.z machine.max_speed.e machine.max_accel.e
	machine.head.tilt machine.head.off_square machine.head.tip_free machine.head.profile machine.head.boxes
	machine.nozzle machine.filament machine.max_flow machine.retract.length machine.retract.speed machine.retract.lift
	machine.obstacles machine.max_moves_per_s machine.feed_basis machine.decimals.xyz machine.decimals.angle machine.decimals.e
	 machine.start machine.end
	part.triangles part.volume_mm3 part.area_mm2 part.size
	part.health.open_edges part.health.nonmanifold_edges part.health.flipped part.health.bodies
	zones[].name zones[].field.kind zones[].triangles zones[].volume_mm3 zones[].warped_triangles zones[].warped_volume_mm3 zones[].drop
	zones[].layer_height zones[].line_width zones[].pitch zones[].planar_filament_mm zones[].contact_filament_mm
	zones[].register zones[].register_error zones[].overhang_area_mm2 zones[].level_overhang_area_mm2 zones[].midair_starts zones[].shells
	zones[].support_volume_mm3 zones[].unheld_area_mm2 zones[].unheld_starts
	motion.moves motion.source_moves motion.filament_mm motion.volume_mm3 motion.seconds motion.greatest_deviation motion.lowest_z
	motion.greatest_swivel_speed motion.greatest_winding motion.greatest_flow
	machine.counts_to machine.max_nozzle_temp machine.max_bed_temp motion.hanging_mm motion.longest_hang_mm motion.greatest_dig`)

// awaited keys are in the contract, but not in every log yet; strict checks ask
// for them. There is none at present.
var awaited []string

// complete checks that run.json holds what every run fills in.
func (c *check) complete() {
	if !c.forbidden() {
		want := keys
		if c.strict {
			want = append(slices.Clone(keys), awaited...)
		}
		for _, key := range want {
			if !has(c.raw, strings.Split(key, ".")) {
				c.wrong("run.json lacks %s", key)
			}
		}
	}
	l := c.log
	if l.Version != 1 || l.Job == nil || l.Machine == nil || l.Part == nil || len(l.Zones) == 0 || len(l.Stages) == 0 || len(l.Inputs) == 0 {
		c.wrong("run.json lacks an entry or a version")
		return
	}
	if _, one := c.raw["job"].(map[string]any)["part"]; !one && len(l.Job.Parts) == 0 {
		c.wrong("run.json: the job has neither part nor parts")
	}
	for _, z := range l.Zones {
		if z.Name == "" || z.Field == nil || z.LayerHeight == nil || z.Drop == nil || z.Register == nil {
			c.wrong("run.json, zone %q lacks an entry", z.Name)
			continue
		}
		// Formulas of the contract: layer height = shell / cos(angle), at its steepest.
		if h := *z.LayerHeight; z.Field.Kind != "profile" {
			angle := z.Field.Angle
			if z.Field.Kind == "level" {
				angle = 0
			}
			if want := l.Job.Shell / math.Cos(angle*math.Pi/180); math.Abs(h-want) > 1e-6 && z.PlannedHere() {
				c.wrong("zone %s: layer height %g, want %g", z.Name, h, want)
			}
		}
	}
}

// has reports that a value stands at a path of keys.
func has(v any, path []string) bool {
	if len(path) == 0 {
		return true
	}
	m, ok := v.(map[string]any)
	if !ok {
		return false
	}
	name, list := strings.CutSuffix(path[0], "[]")
	next, ok := m[name]
	if !ok {
		return false
	}
	if !list {
		return has(next, path[1:])
	}
	items, ok := next.([]any)
	for _, item := range items {
		ok = ok && has(item, path[1:])
	}
	return ok
}
