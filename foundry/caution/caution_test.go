package caution_test

import (
	"reflect"
	"regexp"
	"strings"
	"testing"

	"drosswise/foundry/caution"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// promise finds words that a caution must never use: nobody can promise it.
var promise = regexp.MustCompile(`(?i)\bsafe\b|\bsafely\b|no danger|harmless|risk[- ]free`)

// every has all the hazards there are, also those added later.
func every() caution.Hazards {
	var h caution.Hazards
	v := reflect.ValueOf(&h).Elem()
	for i := range v.NumField() {
		v.Field(i).SetBool(true)
	}
	return h
}

func TestEveryCautionIsWhole(t *testing.T) {
	codes := map[string]string{}
	for stage := caution.BeforeFirstUse; stage <= caution.MeasuringOhms; stage++ {
		require.NotEmpty(t, caution.For(stage, caution.Hazards{}), stage)
		require.NotEqual(t, "Unknown stage", stage.String())
		for _, c := range caution.For(stage, every()) {
			for _, sentence := range []string{c.Text, c.Why} {
				assert.Regexp(t, `^[A-Z].*\.$`, sentence, c.Code)
				assert.NotRegexp(t, promise, sentence, c.Code)
			}
			assert.LessOrEqual(t, len(c.Text), 150, "%s: short enough to be read", c.Code)
			assert.NotEmpty(t, c.Source, c.Code)
			assert.Empty(t, codes[c.Code], "%s is there twice", c.Code)
			codes[c.Code] = c.Text
		}
	}
	assert.Equal(t, "Unknown stage", caution.Stage(99).String())
	assert.Empty(t, caution.For(caution.Stage(99), every()))
}

func TestPromiseWouldBeFound(t *testing.T) {
	for _, sentence := range []string{"It is safe to pour.", "Pour safely.", "This is safe."} {
		assert.Regexp(t, promise, sentence)
	}
}

// Each hazard adds its own caution to charging, ahead of the usual ones.
func TestChargingByHazard(t *testing.T) {
	usual := caution.For(caution.Charging, caution.Hazards{})
	seen := map[string]bool{}
	kind := reflect.TypeFor[caution.Hazards]()
	for i := range kind.NumField() {
		var h caution.Hazards
		reflect.ValueOf(&h).Elem().Field(i).SetBool(true)
		list := caution.For(caution.Charging, h)
		require.Len(t, list, len(usual)+1, kind.Field(i).Name)
		assert.Equal(t, usual, list[1:], kind.Field(i).Name)
		assert.False(t, seen[list[0].Code], kind.Field(i).Name)
		seen[list[0].Code] = true
		assert.Equal(t, h, caution.Hazards{}.Or(h), kind.Field(i).Name)
		assert.Equal(t, h, h.Or(caution.Hazards{}), kind.Field(i).Name)
	}
	assert.Len(t, caution.For(caution.Charging, every()), len(usual)+kind.NumField())
}

// A hot addition is never spoken of without saying what it can do, and that
// some forbid it.
func TestHotAddition(t *testing.T) {
	list := caution.For(caution.Charging, caution.Hazards{HotMetal: true})
	assert.Contains(t, list[0].Text, "wait for the next cold start")
	assert.Contains(t, list[0].Why, "forbid")
}

// Whatever has to do with current sends people to an electrician and their code.
func TestDefersToElectricianAndCode(t *testing.T) {
	for _, stage := range []caution.Stage{caution.BeforeFirstUse, caution.Maintenance, caution.MeasuringOhms} {
		var all strings.Builder
		for _, c := range caution.For(stage, caution.Hazards{}) {
			all.WriteString(c.Text)
		}
		assert.Contains(t, all.String(), "licensed electrician", stage)
		assert.Contains(t, all.String(), "code", stage)
	}
}
