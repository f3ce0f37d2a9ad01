package sheet

// Lack is something that was not written down and is needed for a figure.
type Lack string

// What may be lacking.
const (
	NoCharge       Lack = "charge"
	NoNet          Lack = "net_charge"
	NoIngots       Lack = "ingots"
	NoDross        Lack = "dross"
	NoMetal        Lack = "metal"
	NoEnergy       Lack = "energy"
	NoPourTemp     Lack = "pour_temp"
	NoCrucible     Lack = "crucible"
	NoCrucibleMass Lack = "crucible_mass"
	NoCrucibleHeat Lack = "crucible_kind"
	NoPowerOn      Lack = "power_on"
	NoAllMolten    Lack = "all_molten"
	NoTariff       Lack = "tariff"
	NoScrapPrice   Lack = "scrap_price"
	NoResale       Lack = "resale"
	NoCrucibleCost Lack = "crucible_cost"
	NoElementCost  Lack = "element_cost"
	NoAdditionCost Lack = "addition_cost"
	ColdAmbient    Lack = "ambient"
)

var lackSentences = map[Lack]string{
	NoCharge:       "Nothing is weighed in yet.",
	NoNet:          "The steel found weighs as much as the charge or more, so no metal was charged. Check both masses.",
	NoIngots:       "The ingots are not weighed yet. Weigh them cold and add the mass to the pour.",
	NoDross:        "The dross is not weighed. Weigh it cold and add the mass to the skim.",
	NoMetal:        "No metal came out, so nothing can be reckoned per kilogram of it.",
	NoEnergy:       "There are no two meter readings, no typed kWh, and no volts and amps with the power-on time.",
	NoPourTemp:     "No temperature was read in the metal or at the pour.",
	NoCrucible:     "The melt names no crucible.",
	NoCrucibleMass: "The crucible's mass is not written under Kit.",
	NoCrucibleHeat: "How much heat this kind of crucible takes is not known.",
	NoPowerOn:      "Power on was not marked.",
	NoAllMolten:    "All molten was not marked.",
	NoTariff:       "No price of electricity is set for that day. Add it under Set-up.",
	NoScrapPrice:   "What the scrap cost is not written under Scrap. Type 0 if it was free.",
	NoResale:       "What the free scrap would have fetched is not written under Scrap.",
	NoCrucibleCost: "The crucible's price or expected life is not written under Kit.",
	NoElementCost:  "The element's price or expected life is not written under Kit.",
	NoAdditionCost: "What the addition cost is not written.",
	ColdAmbient:    "Heat is reckoned between −40 and 1200 °C, from a shed that is colder than the metal. Check both temperatures.",
}

// Sentence says what is lacking and what to do about it.
func (l Lack) Sentence() string { return lackSentences[l] }
