package main

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"drosswise/foundry/quantity"
	"drosswise/foundry/tariff"
	"drosswise/store"
)

func TestChangingTheSettings(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	page := g.get("/shop/edit").text
	assert.Contains(t, page, `value="Spoke & Crank"`)
	assert.Contains(t, page, `value="20 °C"`)

	form := setUpForm()
	form.Set("temperature", "F") // the shed's temperature, as it stood there, is still in °C
	form.Set("ambient", "20 °C")
	form.Set("mark", "comma")
	form.Set("mass_unit", "lb")
	require.Equal(t, "/shop", g.ask(http.MethodPost, "/shop", form, nil).to())
	shop, err := d.store.Shop(t.Context())
	require.NoError(t, err)
	assert.Equal(t, store.Shop{Name: "Spoke & Crank", Zone: "Europe/London", MassUnit: "lb", Fahrenheit: true, Currency: "GBP", Comma: true, Ambient: 2000, Ready: true}, shop)
	assert.Contains(t, g.get("/shop").text, "68 °F")

	form.Set("ambient", "68") // a bare number is in the unit that the form says
	require.Equal(t, "/shop", g.ask(http.MethodPost, "/shop", form, nil).to())
	shop, err = d.store.Shop(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 20*quantity.Celsius, shop.Ambient)
}

func TestRefusedSettings(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	res := g.post("/shop", "shop", strings.Repeat("x", 81), "zone", "", "mass_unit", "", "temperature", "K", "mark", "", "currency", "QQQ", "ambient", "61")
	assert.Equal(t, http.StatusUnprocessableEntity, res.StatusCode)
	for _, sentence := range []string{"That is too long.", "Choose the time zone.", "Choose the currency.", "Choose one of these.", "A shed is between"} {
		assert.Contains(t, res.text, sentence)
	}
	for _, field := range []string{"f-shop", "f-zone", "f-mass_unit", "f-temperature", "f-mark", "f-currency", "f-ambient"} {
		assert.Contains(t, res.text, `href="#`+field+`"`, "the summary leads to each field")
		assert.Contains(t, res.text, `id="`+field+`"`)
	}
	form := setUpForm()
	form.Set("currency", "JPY")
	res = g.ask(http.MethodPost, "/shop", form, nil)
	assert.Equal(t, http.StatusUnprocessableEntity, res.StatusCode, "another currency is asked about")
	assert.Contains(t, res.text, "is not converted")
	form.Set("sure", "1")
	assert.Equal(t, "/shop", g.ask(http.MethodPost, "/shop", form, nil).to())
}

func TestTimeZones(t *testing.T) {
	for _, z := range zones {
		_, err := time.LoadLocation(z)
		assert.NoError(t, err, z)
		found, ok := findZone(z)
		assert.True(t, ok && found == z, z)
	}
	for typed, want := range map[string]string{
		"london": "Europe/London", "europe/LONDON": "Europe/London", "Buenos Aires": "America/Argentina/Buenos_Aires", "utc": "UTC",
		"Local": "", "": "", "Europe": "", "Atlantis": "", "../../etc/passwd": "",
	} {
		got, ok := findZone(typed)
		assert.Equal(t, want, got, typed)
		assert.Equal(t, want != "", ok, typed)
	}
}

func TestCurrencies(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range currencies {
		assert.Regexp(t, `^[A-Z]{3}$`, c.Value)
		assert.Regexp(t, `^`+c.Value+`, \S`, c.Label)
		assert.False(t, seen[c.Value], c.Value)
		seen[c.Value] = true
	}
	for _, code := range []string{"EUR", "GBP", "USD", "JPY", "INR", "BRL", "KWD"} {
		assert.True(t, seen[code], code)
	}
}

func TestTariffs(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	assert.Contains(t, g.get("/shop").text, "Without a price of electricity no melt has a cost.")
	assert.Contains(t, g.get("/shop/tariffs/new").text, `value="2026-03-02"`, "today")
	form := filledIn("key", "aaaaaaaa-1", "from", "2026-01-01", "price", "0,2573",
		"band1_from", "23:00", "band1_to", "07:00", "band1_price", "0.10", "band2_from", "17:00", "band2_to", "19:30", "band2_price", "0.40 GBP")
	for range 2 { // tapped twice
		require.Equal(t, "/shop", g.ask(http.MethodPost, "/shop/tariffs", form, nil).to())
	}
	all, err := d.store.Tariffs(t.Context())
	require.NoError(t, err)
	require.Len(t, all, 1)
	assert.Equal(t, tariff.Tariff{
		From:  quantity.At(time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)),
		Price: 257300,
		Bands: []tariff.Band{{FromMinute: 17 * 60, ToMinute: 19*60 + 30, Price: 400000}, {FromMinute: 23 * 60, ToMinute: 7 * 60, Price: 100000}},
	}, all[0].Tariff)
	page := g.get("/shop").text
	assert.Contains(t, page, "From 1 Jan 2026")
	assert.Contains(t, page, "0.2573 GBP")
	assert.Contains(t, page, "23:00–07:00 0.10 GBP")

	require.Equal(t, "/shop", g.post("/shop/tariffs/1/strike").to())
	assert.NotContains(t, g.get("/shop").text, "From 1 Jan 2026")
	assert.Equal(t, http.StatusNotFound, g.post("/shop/tariffs/1/strike").StatusCode)
}

func TestRefusedTariffs(t *testing.T) {
	d := newDoor(t, settings{})
	g := d.owned()
	for name, c := range map[string]struct {
		fields []string
		says   []string
	}{
		"nothing":     {nil, []string{"Give the first day", "Type what a kilowatt-hour costs."}},
		"no number":   {[]string{"from", "2026-13-01", "price", "cheap"}, []string{"“2026-13-01” is not a date.", "“cheap” is not a number."}},
		"below zero":  {[]string{"from", "2026-01-01", "price", "-0.1"}, []string{"A price is not below zero here."}},
		"half a band": {[]string{"from", "2026-01-01", "price", "0.3", "band2_from", "7:00"}, []string{"Say when this price ends.", "Type the price at this time of day."}},
		"overlap": {[]string{"from", "2026-01-01", "price", "0.3", "band1_from", "22:00", "band1_to", "06:00", "band1_price", "0.1",
			"band3_from", "05:00", "band3_to", "07:00", "band3_price", "0.2"}, []string{"The bands 22:00–06:00 and 05:00–07:00 overlap.", `href="#f-band3_from"`}},
		"no length": {[]string{"from", "2026-01-01", "price", "0.3", "band1_from", "00:00", "band1_to", "00:00", "band1_price", "0.1"}, []string{"has no length"}},
	} {
		res := g.post("/shop/tariffs", append([]string{"key", "bbbbbbbb-1"}, c.fields...)...)
		assert.Equal(t, http.StatusUnprocessableEntity, res.StatusCode, name)
		for _, says := range c.says {
			assert.Contains(t, res.text, says, name)
		}
	}
	assert.Equal(t, http.StatusBadRequest, g.post("/shop/tariffs", "from", "2026-01-01", "price", "1").StatusCode, "without a key it might be saved twice")
	all, err := d.store.Tariffs(t.Context())
	require.NoError(t, err)
	assert.Empty(t, all)
}
