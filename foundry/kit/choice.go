package kit

import (
	"slices"

	"drosswise/foundry/crucible"
	"drosswise/foundry/heat"
)

// Choice is one of the words a field of kit offers. An empty value is "not
// said".
type Choice struct{ Value, Name string }

// Heatings are how furnaces heat.
var Heatings = []Choice{
	{"", "Not said"}, {"wire", "Wire elements (resistance)"}, {"rods", "Silicon carbide rods (resistance)"},
	{"induction", "Induction"}, {"gas", "Gas, oil or charcoal"}, {"other", "Other"},
}

// Materials are what crucibles are made of.
var Materials = []Choice{
	{"", "Not said"}, {string(heat.ClayGraphite), "Clay graphite"}, {string(heat.Graphite), "Graphite"},
	{string(heat.SiliconCarbide), "Silicon carbide"}, {string(heat.Steel), "Steel"}, {string(heat.Other), "Other"},
}

// RatedIn are what makers rate crucibles in.
var RatedIn = []Choice{
	{"", "Not said"}, {string(crucible.Aluminium), "Aluminium"}, {string(crucible.Brass), "Brass"}, {string(crucible.Bronze), "Bronze"},
	{string(crucible.Copper), "Copper"}, {string(crucible.Zinc), "Zinc"}, {string(crucible.Iron), "Iron"}, {string(crucible.Water), "Water, to the brim"},
}

// Couples are the types of thermocouple, by the letters of IEC 60584-1.
var Couples = []Choice{
	{"", "Not said"}, {"K", "Type K"}, {"N", "Type N"}, {"S", "Type S"}, {"R", "Type R"}, {"B", "Type B"}, {"J", "Type J"},
}

// NameOf is how people call the value among choices, "" for none of them.
func NameOf(choices []Choice, value string) string {
	i := slices.IndexFunc(choices, func(c Choice) bool { return c.Value == value })
	if i < 0 || value == "" {
		return ""
	}
	return choices[i].Name
}

// one reports whether the value is among the choices.
func one(choices []Choice, value string) bool {
	return slices.ContainsFunc(choices, func(c Choice) bool { return c.Value == value })
}

// Switchings are how a furnace's power is switched.
var Switchings = []Choice{
	{"", "Not said"}, {FullPower, "By hand: full power whenever it is on"}, {"controlled", "By a thermostat or controller"},
}

// FullPower is a furnace that draws its full power whenever it is on, so that
// energy over time tells its ohms.
const FullPower = "full"
