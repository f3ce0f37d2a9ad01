package recovery

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/scrap"
	"drosswise/testdata"
)

// worked reads a constructed example as a problem whose two sources have no
// form, so that the priors are those of the example.
func worked(t *testing.T, name string) *problem {
	sources := []Source{{ID: 1, Form: scrap.Other}, {ID: 2, Form: scrap.Other}}
	var rows []row
	for _, line := range testdata.Rows(t, "statistics/"+name+".csv") {
		r := row{net: 1, metal: line.Number(t, "yield"), metalVar: sq(line.Number(t, "weighing_sd"))}
		for j, column := range []string{"x1", "x2"} {
			if part := line.Number(t, column); part > 0 {
				r.shares = append(r.shares, share{j, part})
			}
		}
		rows = append(rows, r)
	}
	k := metalPick
	k.usual = usual{shift: 0.08, spread: 0.08, scatter: 0.015, scatterLog: 0.8} // as the examples say
	k.prior = func(Source) Belief { return Belief{0.88, k.usual.unit()} }
	return k.pose(sources, rows, 0)
}

// expected gives the answers of an example with their tolerances.
func expected(t *testing.T, example string) map[string][2]float64 {
	answers := map[string][2]float64{}
	for _, row := range testdata.Rows(t, "statistics/expected.csv") {
		if row["example"] == example {
			answers[row["quantity"]] = [2]float64{row.Number(t, "expected"), row.Number(t, "abs_tolerance")}
		}
	}
	require.NotEmpty(t, answers)
	return answers
}

// Source: b_bayes_closed_form_1, constructed; recomputed with NumPy 1.24.2.
func TestClosedForm(t *testing.T) {
	p := worked(t, "b_bayes_closed_form_1")
	const kappa, phi = 0.05, 0.012
	post, ok := p.solve(p.gather(phi), kappa)
	require.True(t, ok)
	logML := post.logML
	p.invert(post)
	c := p.component(post, 1, kappa, phi)
	sd := func(j int) float64 { return math.Sqrt(c.cov[3*j]) }
	got := map[string]float64{
		"posterior mean r1": c.mean[0], "posterior mean r2": c.mean[1],
		"posterior sd r1": sd(0), "posterior sd r2": sd(1),
		"posterior correlation r1,r2":       c.cov[1] / sd(0) / sd(1),
		"log marginal likelihood":           logML,
		"P(r1 > r2), Gaussian, box ignored": 1 - linear([]component{c}, []share{{0, 1}, {1, -1}}, nil).below(0),
	}
	answers := expected(t, "b_bayes_closed_form_1")
	require.Len(t, answers, len(got))
	for name, want := range answers {
		assert.InDelta(t, want[0], got[name], want[1], name)
	}
}

// Source: b_unmix_small_1, constructed; recomputed with NumPy by an independent
// integration over a fine grid.
func TestUnmixSmall(t *testing.T) {
	p := worked(t, "b_unmix_small_1")
	_, mixture, _ := p.learn(true)
	got := map[string]float64{
		"P(r1 > r2)": 1 - linear(mixture, []share{{0, 1}, {1, -1}}, nil).below(0),
	}
	for j, name := range []string{"r1", "r2"} {
		r := linear(mixture, []share{{j, 1}}, nil).within(0, 1)
		got[name+" 5 %"], got[name+" median"], got[name+" 95 %"] = r.Low, r.Middle, r.High
	}
	answers := expected(t, "b_unmix_small_1")
	require.Len(t, answers, len(got))
	for name, want := range answers {
		assert.InDelta(t, want[0], got[name], want[1], name)
		t.Logf("%s: %.5f, expected %.5f", name, got[name], want[0])
	}
}
