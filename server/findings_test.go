package main

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// toldFindings is what the records say, as a program reads it.
type toldFindings struct {
	Currency string
	Costs    []struct {
		Name string
		Cash struct {
			Range *struct{ Low, Middle, High float64 }
			Lacks []string
		}
		Opportunity struct {
			Range *struct{ Low, Middle, High float64 }
			Lacks []string
		}
		Choice struct {
			Use, Sell *struct{ Code string }
		}
		Says string
	}
	Effects []struct{ Practice, Outcome, Code, Says string }
	Months  []struct {
		Month string
		Melts int
	}
	Furnaces []struct {
		Furnace string
		Melts   int
	}
}

func (s *trial) found() toldFindings {
	s.d.t.Helper()
	s.settled()
	var f toldFindings
	require.NoError(s.d.t, json.Unmarshal([]byte(s.seen("/api/v1/findings")), &f))
	return f
}

func TestFindingsOfNothing(t *testing.T) {
	s := newTrial(t, trueRims)
	s.settled()
	page := s.seen("/findings")
	assert.Contains(t, page, "Nothing to go by yet")
	assert.Contains(t, page, `href="/melts/start"`)
	assert.Empty(t, s.found().Costs)
	s.melt(2)
	s.settled()
	page = s.seen("/findings")
	assert.Contains(t, page, "from 1 closed melt of this shop")
	assert.Contains(t, page, "No scrap has been charged in a closed melt yet.", "one melt tells no scrap apart")
	assert.Contains(t, page, "Not to be told yet")
	assert.Contains(t, page, "Dry it whatever this says")
}

// A kilogram of crank arms at 0.60, melted with 1.5 kWh a kilogram at 0.30,
// costs (0.60 + 0.45)/recovery; that is held against what was written down.
func TestFindingsInMoney(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks, trueCans)
	s.saved("/shop/tariffs", "from", "2026-01-01", "price", "0.30")
	s.saved("/scrap/2", "name", "Crank arms", "form", "casting", "coating", "bare", "paid", "0.60")
	s.saved("/scrap/1", "name", "Rims", "form", "profile", "coating", "anodised", "paid", "0", "fetches", "0.40")
	for i := range 12 {
		kg := [][]float64{{2, 0, 0}, {0, 2, 0}, {0, 0, 2}, {1, 1, 0}}[i%4]
		path := s.charged(kg...)
		s.saved(path+"/lines", "kind", "energy", "energy", "3.0")
		var metal, dross float64
		for j, x := range kg {
			metal, dross = metal+x*s.truths[j].metal, dross+x*s.truths[j].dross
		}
		s.closes(path, metal, dross)
	}
	f := s.found()
	assert.Equal(t, "GBP", f.Currency)
	require.Len(t, f.Costs, 3)
	assert.Equal(t, "Rims", f.Costs[0].Name, "the least opportunity cost first")
	rims, cranks, cans := f.Costs[0], f.Costs[1], f.Costs[2]
	require.NotNil(t, rims.Cash.Range)
	assert.InDelta(t, 0.45/0.92, rims.Cash.Range.Middle, 0.005)
	assert.InDelta(t, 0.85/0.92, rims.Opportunity.Range.Middle, 0.01)
	assert.InDelta(t, 1.05/0.955, cranks.Cash.Range.Middle, 0.01)
	assert.Less(t, cranks.Cash.Range.Low, cranks.Cash.Range.High)
	assert.Equal(t, []string{"scrap_price"}, cans.Cash.Lacks)
	assert.Nil(t, rims.Choice.Use, "no ingot has a price yet")
	page := s.seen("/findings")
	assert.Contains(t, page, "Write down what an equal ingot costs to buy")
	assert.Contains(t, s.seen("/scrap/3"), "Type 0 if it was free.")

	s.saved("/scrap/prices", "of", "bought", "price", "1.00")
	s.saved("/scrap/prices", "of", "ingots", "price", "0.70")
	f = s.found()
	assert.Equal(t, "helps", f.Costs[0].Choice.Use.Code, "0.92 against 1.00")
	assert.Equal(t, "costs", f.Costs[1].Choice.Use.Code, "1.10 against 1.00")
	assert.Equal(t, "costs", f.Costs[0].Choice.Sell.Code)
	page = s.seen("/findings")
	assert.Contains(t, page, "<b>Worth melting, at what is written now:</b> Rims.")
	assert.Contains(t, page, "<b>Better sold as it is, clean and sorted:</b> Crank arms.")
	assert.Contains(t, page, "Mar 2026")
	assert.Contains(t, s.seen("/scrap/2"), "Melting it does not pay: buying the ingot costs less")

	// A newer yard price of the scrap itself holds over what is written under it.
	s.saved("/scrap/1/prices", "price", "0.60")
	assert.InDelta(t, 1.05/0.92, s.found().Costs[1].Opportunity.Range.Middle, 0.01)
	prices := s.seen("/scrap/1/prices")
	strike := prices[strings.Index(prices, "/scrap/prices/"):]
	strike = strike[:strings.Index(strike, `"`)]
	s.saved(strike)
	assert.Contains(t, s.seen("/scrap/1/prices"), "Put back")
	assert.InDelta(t, 0.85/0.92, s.found().Costs[0].Opportunity.Range.Middle, 0.01, "the price is struck")
	s.saved(strings.Replace(strike, "/strike", "/lift", 1))
	assert.InDelta(t, 1.05/0.92, s.found().Costs[1].Opportunity.Range.Middle, 0.01)
	assert.Equal(t, http.StatusNotFound, s.post("/scrap/prices/999/strike", "key", newKey()).StatusCode)
}

// Drying gives four points here, on either scrap; the page finds it in the
// melts, and its caution stands beside it. What was never done is not guessed.
func TestFindingsOfAHabit(t *testing.T) {
	s := newTrial(t, trueRims, trueCranks)
	for i := range 24 {
		kg := [][]float64{{2, 0}, {0, 2}, {1, 1}}[i%3]
		path, metal := s.charged(0, 0), 0.005*float64(i%5-2)
		for j, x := range kg {
			if x > 0 {
				line := []string{"kind", "charge", "source", fmt.Sprintf("source-%d", j+1), "mass", fmt.Sprint(x), "scale", "2", "basis", "ready"}
				if i%2 == 0 {
					line, metal = append(line, "dry", "1"), metal+0.04*x
				}
				s.saved(path+"/lines", line...)
				metal += x * (s.truths[j].metal - 0.04)
			}
		}
		s.closes(path, metal, 0.14)
	}
	said := map[string]string{}
	for _, e := range s.found().Effects {
		said[e.Practice+" "+e.Outcome] = e.Code + ": " + e.Says
	}
	assert.Regexp(t, `^helps: Drying the charge went with [34]\.\d points more metal: between [23]\.\d and [45]\.\d \(9 chances in 10\), from 12 melts with it and 12 without\.`, said["drying metal"])
	assert.Contains(t, said["preheating metal"], "too_few: Preheating the charge: what it does to the metal cannot be said: it was never done.")
	page := s.seen("/findings")
	assert.Contains(t, page, "<h2>Drying the charge</h2>")
	assert.Contains(t, page, "Dry it whatever this says")
	assert.Contains(t, page, "one in ten shows one by chance")
	assert.Contains(t, page, "Not to be told yet")
}
