package quantity

import (
	"math/big"
	"strings"
)

const (
	// mostInteger is how many digits may stand before the decimal mark.
	mostInteger = 12
	// mostRunes is the longest text that is looked at as a number.
	mostRunes = 64
)

// decimal is a number as it was typed: digits × 10^-scale, exactly.
type decimal struct {
	negative bool
	digits   string // without leading zeros before the mark; at least one
	scale    int    // how many of the digits stand after the mark
}

type fault int

const (
	fine fault = iota
	noNumber
	tooManyDigits
)

// parseDecimal reads a number without its unit. Comma and point are both
// decimal marks. Where both appear the last is the decimal mark and the other
// groups thousands; a mark that repeats groups thousands, as do spaces and
// apostrophes. Groups are of three digits, of one kind, and do not start with
// a zero, so that a slip of the finger is not taken for a thousand.
func parseDecimal(text string) (decimal, fault) {
	text = strings.TrimSpace(text)
	if len(text) > mostRunes*4 {
		return decimal{}, noNumber
	}
	text = strings.Map(plainMark, text)
	text, negative := cutSign(text)
	whole, fraction, ok := splitMark(text)
	if !ok || !onlyDigits(fraction) {
		return decimal{}, noNumber
	}
	if whole, ok = ungroup(whole); !ok {
		return decimal{}, noNumber
	}
	if whole == "" && fraction == "" {
		return decimal{}, noNumber
	}
	whole = strings.TrimLeft(whole, "0")
	if len(whole) > mostInteger {
		return decimal{}, tooManyDigits
	}
	if len(whole)+len(fraction) > mostRunes {
		return decimal{}, noNumber
	}
	return decimal{negative: negative, digits: "0" + whole + fraction, scale: len(fraction)}, fine
}

// plainMark maps the many spaces, apostrophes and minus signs of people's
// keyboards to one of each.
func plainMark(r rune) rune {
	switch r {
	case ' ', '\u00a0', '\u2007', '\u2009', '\u202f':
		return ' '
	case '\'', '\u2019', '\u02bc':
		return '\''
	case '-', '\u2212':
		return '-'
	default:
		return r
	}
}

func cutSign(text string) (rest string, negative bool) {
	if rest, ok := strings.CutPrefix(text, "-"); ok {
		return strings.TrimLeft(rest, " "), true
	}
	return strings.TrimPrefix(text, "+"), false
}

// splitMark finds the decimal mark, if there is one. Nothing after a decimal
// mark is not a number: it is one that somebody is still typing.
func splitMark(text string) (whole, fraction string, ok bool) {
	last := strings.LastIndexAny(text, ".,")
	if last < 0 {
		return text, "", true
	}
	mark := text[last : last+1]
	if strings.Count(text, mark) == 1 {
		return text[:last], text[last+1:], last+1 < len(text)
	}
	// A repeated mark groups thousands; then the other must not be there too.
	other := ","
	if mark == "," {
		other = "."
	}
	return text, "", !strings.Contains(text, other)
}

// ungroup takes the thousands separators out of the digits before the mark.
func ungroup(whole string) (digits string, ok bool) {
	at := strings.IndexAny(whole, ".,' ")
	if at < 0 {
		return whole, onlyDigits(whole)
	}
	groups := strings.Split(whole, whole[at:at+1])
	for i, group := range groups {
		short := i == 0 && len(group) >= 1 && len(group) <= 3 && group[0] != '0'
		if !onlyDigits(group) || (!short && (i == 0 || len(group) != 3)) {
			return "", false
		}
	}
	return strings.Join(groups, ""), true
}

func onlyDigits(text string) bool {
	return strings.Trim(text, "0123456789") == ""
}

// rat gives the number as an exact fraction.
func (d decimal) rat() *big.Rat {
	mantissa, _ := new(big.Int).SetString(d.digits, 10)
	if d.negative {
		mantissa.Neg(mantissa)
	}
	return new(big.Rat).SetFrac(mantissa, power10(d.scale))
}

func power10(n int) *big.Int {
	return new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil)
}

// nearest rounds a fraction to a whole number, half away from zero; ok is
// false when the result does not fit.
func nearest(x *big.Rat) (n int64, ok bool) {
	q := divide(x.Num(), x.Denom())
	return q.Int64(), q.IsInt64()
}

// divide is a/b rounded half away from zero; b is positive.
func divide(a, b *big.Int) *big.Int {
	q, rest := new(big.Int).QuoRem(a, b, new(big.Int))
	if rest.Abs(rest).Lsh(rest, 1).Cmp(b) >= 0 {
		q.Add(q, big.NewInt(int64(a.Sign())))
	}
	return q
}
