package store

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// The forms in which the schema writes its rules about one column.
var (
	ruleIn      = regexp.MustCompile(`^(\w+) IN \((.+)\)$`)
	ruleAbove   = regexp.MustCompile(`^(\w+) (>=|>) (-?\d+)$`)
	ruleBetween = regexp.MustCompile(`^(\w+) BETWEEN (-?\d+) AND (-?\d+)$`)
	ruleOne     = regexp.MustCompile(`^(\w+) = (\d+)$`)
	ruleLength  = regexp.MustCompile(`^length\((\w+)\) (<=|=|>|BETWEEN) (\d+)(?: AND (\d+))?$`)
	ruleLetter  = regexp.MustCompile(`^(\w+) GLOB '\[A-Z\]'$`)
	ruleJSON    = regexp.MustCompile(`^json_valid\((\w+)\)$`)
)

// rulesOfRows are the rules about several columns, each with the one that it is
// said beside.
var rulesOfRows = map[string][2]string{
	"(kind = 'furnace') = (letter IS NOT NULL)":                                    {"letter", "A furnace has a letter, from A to Z, and no other kit has one. Put it in, or take it out."},
	"kind <> 'scale' OR resolution IS NOT NULL":                                    {"resolution", "A scale has a smallest step. Put in which, in kilograms."},
	"kind <> 'charge' OR (source_id IS NULL) <> (pour_id IS NULL)":                 {"source_id", "A charge is either scrap or the ingots of a pour. Put in one of source_id and pour_id, and leave the other empty."},
	"kind <> 'temperature' OR temp IS NOT NULL":                                    {"temp", "A line of this kind has a temperature. Put it in."},
	"kind <> 'meter' OR meter IS NOT NULL":                                         {"meter", "A line of this kind has what the meter showed. Put it in."},
	"(line_id IS NOT NULL) + (kit_line_id IS NOT NULL) + (lot_id IS NOT NULL) = 1": {"line_id", "This is about one of three. Put in one of line_id, kit_line_id and lot_id, and leave the others empty."},
	"(metal_mean IS NULL) = (metal_sd IS NULL)":                                    {"metal_sd", "The share and its standard deviation go together. Put in both, or leave both empty."},
	"(dross_mean IS NULL) = (dross_sd IS NULL)":                                    {"dross_sd", "The share and its standard deviation go together. Put in both, or leave both empty."},
	"(struck_at IS NULL) = (struck_by IS NULL)":                                    {"struck_by", "When it was struck and by whom go together. Put in both, or leave both empty."},
}

// rule puts a rule of the schema into words, and names the column that it is
// about. ok is false for one that nobody has put into words.
func (c cargoTable) rule(text string) (about cargoColumn, sentence string, ok bool) {
	text = strings.Join(strings.Fields(text), " ")
	text = strings.ReplaceAll(strings.ReplaceAll(text, "( ", "("), " )", ")")
	if said, ok := rulesOfRows[text]; ok {
		about, ok = c.column(said[0])
		return about, said[1], ok
	}
	for _, form := range []struct {
		is  *regexp.Regexp
		say func(about cargoColumn, found []string) string
	}{
		{ruleIn, func(_ cargoColumn, m []string) string {
			return "That may not stand there. Put in " + choices(m[2]) + "."
		}},
		{ruleAbove, func(about cargoColumn, m []string) string {
			if m[2] == ">" {
				return "That may not stand there. Put in " + about.form.says + ", more than " + about.shown(m[3]) + "."
			}
			return "That may not stand there. Put in " + about.form.says + ", not below " + about.shown(m[3]) + "."
		}},
		{ruleBetween, func(about cargoColumn, m []string) string {
			return "That may not stand there. Put in " + about.form.says + " from " + about.shown(m[2]) + " to " + about.shown(m[3]) + "."
		}},
		{ruleOne, func(_ cargoColumn, m []string) string { return "That may not stand there. Put in " + m[2] + "." }},
		{ruleLength, func(_ cargoColumn, m []string) string { return lengthSays(m) }},
		{ruleLetter, func(cargoColumn, []string) string { return "That may not stand there. Put in one letter from A to Z." }},
		{ruleJSON, func(cargoColumn, []string) string { return noJSON }},
	} {
		if m := form.is.FindStringSubmatch(text); m != nil {
			about, ok := c.column(m[1])
			return about, form.say(about, m), ok
		}
	}
	return about, "", false
}

const noJSON = "That is no JSON. Put in what was exported."

func lengthSays(m []string) string {
	switch m[2] {
	case "BETWEEN":
		return fmt.Sprintf("That is too short or too long. Put in text of %s to %s letters.", m[3], m[4])
	case "=":
		return fmt.Sprintf("That is too short or too long. Put in text of %s letters.", m[3])
	case "<=":
		return fmt.Sprintf("That is too long. Put in text of at most %s letters.", m[3])
	}
	return "Nothing is there. Put in what was exported."
}

// choices lists the values of a rule as people list things. Empty text among them
// is an empty cell.
func choices(list string) string {
	var all []string
	empty := ""
	for _, one := range strings.Split(list, ",") {
		one = strings.Trim(strings.TrimSpace(one), "'")
		if one == "" {
			empty = ", or leave the cell empty"
			continue
		}
		all = append(all, one)
	}
	last := len(all) - 1
	if last == 0 {
		return all[0] + empty
	}
	return strings.Join(all[:last], ", ") + " or " + all[last] + empty
}

// shown is a number of a rule as the column's cells have it.
func (c cargoColumn) shown(number string) string {
	v, err := strconv.ParseInt(number, 10, 64)
	if err != nil {
		return number
	}
	return string(appendDecimal(nil, v, c.form.digits))
}

// column finds a column by its name in the database.
func (c cargoTable) column(name string) (cargoColumn, bool) {
	for _, col := range c.columns {
		if col.name == name {
			return col, true
		}
	}
	return cargoColumn{}, false
}
