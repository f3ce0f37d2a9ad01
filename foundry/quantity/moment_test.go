package quantity_test

import (
	"testing"
	"time"

	"drosswise/foundry/quantity"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func in(t testing.TB, zone string) quantity.Style {
	location, err := time.LoadLocation(zone)
	require.NoError(t, err)
	return quantity.Style{Zone: location}
}

// The clock changes are those of the IANA time zone database.
func TestReadMoment(t *testing.T) {
	for _, c := range []struct{ zone, date, clock, want string }{
		{"UTC", "2026-11-03", "14:46", "2026-11-03T14:46:00Z"},
		{"UTC", "2026-11-03", "14.46", "2026-11-03T14:46:00Z"},
		{"UTC", "2026-11-03", "1446", "2026-11-03T14:46:00Z"},
		{"UTC", "2026-11-03", "946", "2026-11-03T09:46:00Z"},
		{"UTC", " 2026-11-03 ", " 9:05:07 ", "2026-11-03T09:05:07Z"},
		{"UTC", "2026-11-03", "09:05:07.5", "2026-11-03T09:05:07.5Z"},
		{"Europe/London", "2026-07-03", "14:46", "2026-07-03T13:46:00Z"},
		// The hour that comes twice: the first.
		{"Europe/London", "2026-10-25", "01:30", "2026-10-25T00:30:00Z"},
		{"Europe/London", "2026-10-25", "00:59", "2026-10-24T23:59:00Z"},
		{"Europe/London", "2026-10-25", "02:00", "2026-10-25T02:00:00Z"},
		{"Europe/London", "2026-03-29", "00:59", "2026-03-29T00:59:00Z"},
		{"Europe/London", "2026-03-29", "02:00", "2026-03-29T01:00:00Z"},
		{"America/New_York", "2026-11-01", "01:30", "2026-11-01T05:30:00Z"},
		// Half an hour of summer time.
		{"Australia/Lord_Howe", "2026-04-05", "01:45", "2026-04-04T14:45:00Z"},
	} {
		got, err := in(t, c.zone).ReadMoment(c.date, c.clock)
		require.NoError(t, err, c)
		assert.Equal(t, c.want, got.Time().Format(time.RFC3339Nano), c)
	}
}

func TestReadMomentRefuses(t *testing.T) {
	s := in(t, "Europe/London")
	for _, c := range [][2]string{
		{"", "14:46"}, {"2026-11-03", ""}, {"2026-13-03", "14:46"}, {"2026-02-29", "14:46"},
		{"0026-11-03", "14:46"}, {"2026-1-3", "14:46"}, {"03/11/2026", "14:46"},
		{"2026-11-03", "24:00"}, {"2026-11-03", "14:60"}, {"2026-11-03", "14:46:60"},
		{"2026-11-03", "14"}, {"2026-11-03", "2 pm"}, {"2026-11-03", "14:46:05.1234"},
	} {
		_, err := s.ReadMoment(c[0], c[1])
		requireRefusal(t, err)
	}
	_, err := s.ReadMoment("2026-03-29", "01:30")
	var refusal *quantity.Refusal
	require.ErrorAs(t, err, &refusal)
	assert.Equal(t, "The clocks went forward on 29 Mar 2026 and “01:30” did not happen. "+
		"Type the time as the clock showed it before or after the change.", refusal.Sentence)
}

func TestReadDate(t *testing.T) {
	for _, c := range []struct{ zone, date, want string }{
		{"Europe/London", "2026-07-03", "2026-07-02T23:00:00Z"},
		{"UTC", "2026-07-03", "2026-07-03T00:00:00Z"},
		// Clocks went from 00:00 to 01:00 on that day in São Paulo.
		{"America/Sao_Paulo", "2018-11-04", "2018-11-04T03:00:00Z"},
		// Havana had midnight twice.
		{"America/Havana", "2026-11-01", "2026-11-01T04:00:00Z"},
	} {
		got, err := in(t, c.zone).ReadDate(c.date)
		require.NoError(t, err, c)
		assert.Equal(t, c.want, got.Time().Format(time.RFC3339), c)
	}
	// Samoa had no 30 December 2011.
	_, err := in(t, "Pacific/Apia").ReadDate("2011-12-30")
	requireRefusal(t, err)
}
