package caution

// Where the cautions come from; what is said here in a line, its source says
// at length.
const (
	practice       = "common practice, no source"
	hseAlerts      = "HSE, molten metal topics and alerts, 2021"
	moistureAlert  = "Cast Metals Federation and HSE, moisture explosion alert, 2021"
	scrapReceiving = "Aluminum Association, scrap receiving guidelines, 2002"
	incidentCounts = "Aluminum Association, molten metal incident counts, 2016"
	closedPieces   = "recyclers' association, closed container warning, 2017"
	refractories   = "HSE, refractories, 2021; HSE, OC 267/3, 1999; EU facts on refractory ceramic fibre, 2025"
	zincFume       = "AWS, safety and health fact sheet 25, 2002"
	drossRules     = "Modern Casting, dross rules, 2012"
	drossNotices   = "insurers' and plant safety notices on dross"
	chlorineTabs   = "EU, hexachloroethane ban, 1997 and 2001"
	batteryFires   = "EuRIC, batteries in scrap, 2022; ReMA, 2025"
	rcdAdvice      = "HSE, advice on residual-current devices, 2017; kiln makers' help pages"
	kilnMakers     = "kiln makers' help pages"
	crucibleMakers = "crucible makers' care guides"
	foundryRules   = "university and hobby foundry rules"
	fireAdvice     = "fire advice pages; university and hobby foundry rules"
	carbonMonoxide = "carbon monoxide advice pages"
	clothing       = "protective clothing advice pages"
	hobby          = "hobby foundry threads, one experience each"
	deadWorking    = "HSE, HSG85, electricity at work, 2013 (from memory)"
)
