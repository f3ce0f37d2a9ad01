package drift

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"drosswise/foundry/recovery"
	"drosswise/testdata"
)

// pinned holds the outer face at the room's temperature.
var pinned = Outside{Coefficient: 1e8}

func fahrenheit(f float64) float64 { return (f - 32) / 1.8 }

// Source: D. Q. Kern, Process Heat Transfer (1950), example 2.2, read in a copy:
// 8 in of fire brick (k 0.68 Btu/(h·ft·°F)), 4 in of insulating brick (0.15) and
// 6 in of building brick (0.40) from 1600 to 125 °F let 332 Btu/(h·ft²) through,
// with 1275 and 537 °F between. The example rounds its resistances to 0.01.
func TestPlaneAgainstKern(t *testing.T) {
	const inch, btu, flux = 0.0254, 1.730735, 3.154591 // W/(m·K) and W/m² of one Btu
	layers := []Layer{
		{Plain("fire brick", 0.68*btu), 8 * inch}, {Plain("insulating brick", 0.15*btu), 4 * inch}, {Plain("building brick", 0.40*btu), 6 * inch},
	}
	w, err := Plane(1, layers, fahrenheit(1600), fahrenheit(125), pinned)
	require.NoError(t, err)
	assert.InEpsilon(t, 332*flux, w.Watts, 0.005)
	assert.InDelta(t, fahrenheit(1275), w.Faces[1], 1)
	assert.InDelta(t, fahrenheit(537), w.Faces[2], 1.5)
	assert.InDelta(t, fahrenheit(125), w.Faces[3], 0.01)
}

// Source: F. P. Incropera and D. P. DeWitt, Fundamentals of Heat and Mass
// Transfer, example 1.1, from memory: a furnace wall of 0.15 m of fireclay brick
// (k 1.7), 1400 and 1150 K, 0.5 by 1.2 m: 2833 W/m² and 1700 W.
func TestPlaneAgainstIncropera(t *testing.T) {
	w, err := Plane(0.5*1.2, []Layer{{Plain("fireclay brick", 1.7), 0.15}}, 1400-273.15, 1150-273.15, pinned)
	require.NoError(t, err)
	assert.InEpsilon(t, 1700, w.Watts, 0.001)
}

// Source: J. P. Holman, Heat Transfer, multilayer conduction (the problem and its
// answer read in a forum's copy): a steel tube (k 19) of 2 and 4 cm diameter
// under 3 cm of insulation (k 0.2) from 600 to 100 °C loses 680 W/m; the face
// between at 595.8 °C is from memory.
func TestCylinderAgainstHolman(t *testing.T) {
	layers := []Layer{{Plain("steel", 19), 0.01}, {Plain("insulation", 0.2), 0.03}}
	w, err := Cylinder(0.01, 1, layers, 600, 100, pinned)
	require.NoError(t, err)
	assert.InEpsilon(t, 680, w.Watts, 0.001)
	assert.InDelta(t, 595.8, w.Faces[1], 0.3)
}

// Source: J. P. Holman, Heat Transfer, critical insulation thickness, from
// memory: a pipe of 5 cm at 200 °C in a room at 20 °C with h 3.0, under
// insulation (k 0.17) up to the critical radius 5.67 cm, loses 105.7 W/m.
func TestCylinderWithSurface(t *testing.T) {
	w, err := Cylinder(0.025, 1, []Layer{{Plain("insulation", 0.17), 0.0567 - 0.025}}, 200, 20, Outside{Coefficient: 3})
	require.NoError(t, err)
	assert.InEpsilon(t, 105.7, w.Watts, 0.002)
	assert.Equal(t, 3.0, w.Surface)
}

// Source: Incropera and DeWitt, problem 4.20: a cubical furnace of 5 m outside,
// brick of 0.35 m (k 1.4), 1100 °C inside, air at 25 °C with h 5, by 6 walls, 12
// edges and 8 corners. The problem and its outer resistance, 0.00133 K/W, were
// read in a copy; its answer, 316 kW, is from memory.
func TestBoxAgainstIncropera(t *testing.T) {
	w, err := Box(4.3, 4.3, 4.3, []Layer{{Plain("brick", 1.4), 0.35}}, 1100, 25, Outside{Coefficient: 5})
	require.NoError(t, err)
	assert.InEpsilon(t, 316e3, w.Watts, 0.002)
	assert.InDelta(t, 0.00133, (w.Faces[1]-25)/w.Watts, 0.00001)
}

// A small furnace's edges and corners count: 115 mm inside, 64 mm thick.
func TestBoxBesidePlane(t *testing.T) {
	layers := []Layer{{Plain("brick", 0.15), 0.064}}
	box, err := Box(0.115, 0.115, 0.115, layers, 750, 20, pinned)
	require.NoError(t, err)
	inner, err := Plane(6*0.115*0.115, layers, 750, 20, pinned)
	require.NoError(t, err)
	outer, err := Plane(6*0.243*0.243, layers, 750, 20, pinned)
	require.NoError(t, err)
	assert.Greater(t, box.Watts, 1.5*inner.Watts)
	assert.Less(t, box.Watts, 0.6*outer.Watts)
	_, err = Box(0.01, 0.2, 0.2, layers, 750, 20, pinned)
	assert.ErrorIs(t, err, ErrWall)
}

// Source: worked values of limits_practice.csv, computed there (brick from
// memory): 750 °C inside, 20 °C room, k on a straight line in T.
func TestPlaneAgainstWorkedValues(t *testing.T) {
	line := Brick{Name: "line", Points: []Conducts{{0, 0.12 - 400*0.07/600}, {1000, 0.19}}}
	for name, want := range map[string]struct{ thickness, cold, k float64 }{
		"worked_wall_loss_group23_76mm":  {0.076, 99.3, 0.1229},
		"worked_wall_loss_group23_114mm": {0.114, 79.5, 0.1217},
		"worked_wall_loss_group23_230mm": {0.230, 54.9, 0.1203},
	} {
		row := testdata.Find(t, "physics/limits_practice.csv", "item", name)
		w, err := Plane(1, []Layer{{line, want.thickness}}, 750, 20, Outside{})
		require.NoError(t, err)
		assert.InDelta(t, row.Number(t, "value"), w.Watts, 0.5, name)
		assert.InDelta(t, want.cold, w.Faces[1], 0.1, name)
		assert.InDelta(t, want.k, line.At((w.Faces[0]+w.Faces[1])/2), 0.0001, name)
	}
}

// Source: A. Stansfield, The Electric Furnace (1914), read in an excerpt: a
// furnace's outside gives off about 1 W/in² at 120 °C and 3 W/in² at 230 °C to
// surroundings at 20 °C. "About" is taken as one tenth.
func TestOutsideAgainstStansfield(t *testing.T) {
	const squareInch = 0.0254 * 0.0254
	assert.InEpsilon(t, 1/squareInch, Outside{}.carries(120, 20), 0.1)
	assert.InEpsilon(t, 3/squareInch, Outside{}.carries(230, 20), 0.1)
}

// Source: physics/brick.csv, row by row.
func TestBricksAgainstTable(t *testing.T) {
	names := map[string]int{"IFB group 23 (1260 C class)": 0, "IFB group 26 (1430 C class)": 1, "IFB 1280 C generic": 2}
	checked := 0
	for _, row := range testdata.Rows(t, "physics/brick.csv") {
		if i, ok := names[row["grade"]]; ok {
			want := Conducts{row.Number(t, "mean_temperature_C"), row.Number(t, "k_W_mK")}
			assert.Contains(t, Bricks[i].Points, want, row["grade"])
			checked++
		}
	}
	assert.Equal(t, 11, checked)
	for _, b := range Bricks {
		assert.True(t, b.usable(), b.Name)
	}
}

func TestWallRefuses(t *testing.T) {
	good := []Layer{{Bricks[0], 0.1}}
	for name, try := range map[string]func() (Wall, error){
		"no layer":     func() (Wall, error) { return Plane(1, nil, 750, 20, Outside{}) },
		"no area":      func() (Wall, error) { return Plane(0, good, 750, 20, Outside{}) },
		"thin":         func() (Wall, error) { return Plane(1, []Layer{{Bricks[0], -0.1}}, 750, 20, Outside{}) },
		"cold inside":  func() (Wall, error) { return Plane(1, good, 20, 20, Outside{}) },
		"not a number": func() (Wall, error) { return Plane(1, good, math.NaN(), 20, Outside{}) },
		"no brick":     func() (Wall, error) { return Cylinder(0.1, 0.3, []Layer{{Brick{}, 0.1}}, 750, 20, Outside{}) },
		"no radius":    func() (Wall, error) { return Cylinder(-0.1, 0.3, good, 750, 20, Outside{}) },
		"glowing":      func() (Wall, error) { return Plane(1, good, 750, 20, Outside{Emissivity: 2}) },
	} {
		_, err := try()
		assert.ErrorIs(t, err, ErrWall, name)
	}
}

// What comes through every layer leaves the outside; a wide cylinder is a plane;
// a thicker wall loses less.
func TestWallHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		brick := rapid.SampledFrom(Bricks).Draw(t, "brick")
		other := Plain("other", rapid.Float64Range(0.03, 20).Draw(t, "k"))
		layers := []Layer{{brick, rapid.Float64Range(0.01, 0.4).Draw(t, "first")}, {other, rapid.Float64Range(0.001, 0.3).Draw(t, "second")}}
		hot, room := rapid.Float64Range(100, 1200).Draw(t, "hot"), rapid.Float64Range(-20, 40).Draw(t, "room")
		w, err := Plane(2, layers, hot, room, Outside{})
		require.NoError(t, err)
		_, err = json.Marshal(w)
		require.NoError(t, err)
		assert.InEpsilon(t, w.Watts, 2*brick.passes(w.Faces[0], w.Faces[1])/layers[0].Thickness, 1e-6)
		assert.InEpsilon(t, w.Watts, 2*w.Surface*(w.Faces[2]-room), 1e-6)

		round, err := Cylinder(1e4, 2/(2*math.Pi*1e4), layers, hot, room, Outside{})
		require.NoError(t, err)
		assert.InEpsilon(t, w.Watts, round.Watts, 1e-3)

		wide, err := Box(1000, 1000, 1000, layers, hot, room, Outside{})
		require.NoError(t, err)
		assert.InEpsilon(t, w.Watts*6e6/2, wide.Watts, 2e-3, "all flat")

		layers[0].Thickness *= 1.5
		thick, err := Plane(2, layers, hot, room, Outside{})
		require.NoError(t, err)
		assert.Less(t, thick.Watts, w.Watts)
	})
}

func TestCompareLoss(t *testing.T) {
	for code, measured := range map[LossCode]recovery.Range{
		Accounted: {Low: 0.5, Middle: 0.7, High: 0.9},
		More:      {Low: 1.1, Middle: 1.2, High: 1.3},
		Less:      {Low: 0.1, Middle: 0.15, High: 0.2},
	} {
		l, ok := CompareLoss(600, measured)
		require.True(t, ok)
		assert.Equal(t, code, l.Code)
	}
	_, ok := CompareLoss(0, recovery.Range{})
	assert.False(t, ok)
}
