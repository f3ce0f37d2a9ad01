package crucible

// Metal is what a maker rates a crucible in.
type Metal string

// Metals that ratings are given in; water stands for a rating by volume.
const (
	Aluminium Metal = "aluminium"
	Brass     Metal = "brass"
	Bronze    Metal = "bronze"
	Copper    Metal = "copper"
	Zinc      Metal = "zinc"
	Iron      Metal = "iron"
	Water     Metal = "water"
)

// Rating is a metal and the density its ratings are read with.
type Rating struct {
	Metal   Metal
	Density float64 // kg/m³, liquid near its melting point; water at 20 °C
	Flag    string  // published or memory
	Source  string
}

// ratings holds liquid densities. Brass and bronze differ by mix: 8000 to
// 8700 kg/m³ is quoted, and the middle stands here. Foundry suppliers call
// aluminium one third of brass; these ratios give less metal, the safe side.
var ratings = []Rating{
	{Aluminium, 2377.2, "memory", "Assael et al. 2006, J. Phys. Chem. Ref. Data 35:285"},
	{Brass, 8350, "memory", "middle of 8000 to 8700, handbooks"},
	{Bronze, 8350, "memory", "middle of 8000 to 8700, handbooks"},
	{Copper, 7900, "memory", "handbooks"},
	{Zinc, 6570, "memory", "handbooks"},
	{Iron, 7035, "memory", "Assael et al. 2006, J. Phys. Chem. Ref. Data 35:285"},
	{Water, 998.2, "published", "Kell 1975, J. Chem. Eng. Data 20:97"},
}

// Ratings lists the metals a rating may be given in, with the densities used.
func Ratings() []Rating { return append([]Rating(nil), ratings...) }

func ratingDensity(m Metal) (float64, bool) {
	for _, r := range ratings {
		if r.Metal == m {
			return r.Density, true
		}
	}
	return 0, false
}
