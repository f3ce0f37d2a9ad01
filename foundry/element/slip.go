package element

// ranges are wide bounds for the element of a small furnace, in Ω, V, A and W:
// common practice, no source. They only serve to tell a slip of the unit.
var ranges = [4]struct{ min, max float64 }{
	InOhms:  {0.1, 1000},
	InVolts: {5, 600},
	InAmps:  {0.2, 300},
	InWatts: {30, 50_000},
}

// plausible says whether the readings, and what the first two of them imply,
// are in range.
func (v values) plausible() bool {
	taken := v.present()
	for _, w := range whats {
		value := v[w]
		if !v.known(w) {
			value = v.derive(w, taken[0], taken[1])
		}
		if value < ranges[w].min || value > ranges[w].max {
			return false
		}
	}
	return true
}

// unitSlip looks for the one reading that, a thousand times greater or smaller,
// lets all readings agree and lie in range. With several such, it names none.
func (v values) unitSlip(tolerance float64) (Fact, bool) {
	var found []Fact
	for _, w := range v.present() {
		for _, factor := range []float64{1000, 0.001} {
			mended := v
			mended[w] *= factor
			if mended.plausible() && len(mended.disagreements(tolerance)) == 0 {
				found = append(found, Fact{Kind: UnitSlip, What: w, Given: v[w], Derived: mended[w]})
			}
		}
	}
	if len(found) != 1 {
		return Fact{}, false
	}
	return found[0], true
}
