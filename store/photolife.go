package store

import (
	"context"
	"database/sql"
	"fmt"

	"drosswise/foundry/kit"
	"drosswise/foundry/melt"
)

// LifePhoto is a photo out of the life of a piece of kit: of a line about it,
// or of a line of a melt that was made with it.
type LifePhoto struct {
	Photo
	Code   melt.Code // of the melt; "" for a line about the kit itself
	Line   melt.Line // of the melt, no more than tells what the photo is of
	PourOf melt.Code // the melt of the pour that the line names, "" for none
	Heats  *int      // how many the kit had begun by then, the melt's own with them; nil where they, or this melt, are not counted
}

// counted is the column of figure that names a piece of kit whose heats are
// counted.
var counted = map[kit.Kind]string{kit.Furnace: "furnace_id", kit.Crucible: "crucible_id", kit.Element: "element_id"}

// A photo belongs to a life when neither it nor its line is struck. The melts
// lead, then their lines: each step goes by an index, and takes as long as the
// kit has melts, however many photos the shop has.
const (
	ofItsLines = `SELECT p.id, p.at, p.at AS began, '' AS code, 0 AS line, '' AS kind, 0 AS source, 0 AS pour, 1 AS heats
		FROM kit_line l CROSS JOIN photo p ON p.kit_line_id = l.id
		WHERE l.kit_id = ?1 AND coalesce((SELECT struck FROM strike WHERE kit_line_id = l.id ORDER BY id DESC LIMIT 1), 0) = 0`
	ofItsMelts = ` UNION ALL SELECT p.id, p.at, f.started_at, m.code, l.id, l.kind, coalesce(l.source_id, 0), coalesce(l.pour_id, 0), f.heats
		FROM figure f CROSS JOIN line l ON l.melt_id = f.melt_id CROSS JOIN photo p ON p.line_id = l.id JOIN melt m ON m.id = f.melt_id
		WHERE f.%s = ?1 AND f.state <> 'void' AND coalesce((SELECT struck FROM strike WHERE line_id = l.id ORDER BY id DESC LIMIT 1), 0) = 0`
	heatsBegun = `CASE s.heats WHEN 1 THEN (SELECT count(*) FROM figure WHERE %s = ?1 AND started_at <= s.began AND heats = 1) END`
	lifePhotos = `SELECT p.id, p.key, coalesce(p.line_id, 0), coalesce(p.kit_line_id, 0), p.at, p.noted_at, p.person_id, p.note, p.width, p.height,
		s.code, s.line, s.kind, s.source, s.pour, s.n,
		coalesce((SELECT m.code FROM line x JOIN melt m ON m.id = x.melt_id WHERE x.id = s.pour), ''), %s
		FROM (SELECT *, count(*) OVER () AS n FROM (%s) seen
			WHERE coalesce((SELECT struck FROM photo_strike WHERE photo_id = seen.id ORDER BY id DESC LIMIT 1), 0) = 0
			ORDER BY at DESC, id DESC LIMIT ?2) s
		JOIN photo p ON p.id = s.id ORDER BY p.at, p.id`
)

// LifePhotos lists the newest photos that stand out of the life of a piece of
// kit, in the order in which they were taken, no more than most (all of them
// when most is negative), and tells how many older ones there are. Void melts
// are left out.
func (s *Store) LifePhotos(ctx context.Context, it kit.Item, most int) (all []LifePhoto, older int, err error) {
	from, heats := ofItsLines, "NULL"
	if column, ok := counted[it.Kind]; ok {
		from, heats = from+fmt.Sprintf(ofItsMelts, column), fmt.Sprintf(heatsBegun, column)
	}
	total := 0
	all, err = collect(ctx, s.read, func(rows *sql.Rows) (p LifePhoto, err error) {
		err = rows.Scan(&p.ID, &p.Key, &p.Of.Line, &p.Of.KitLine, &p.At, &p.Noted, &p.By, &p.Note, &p.Width, &p.Height,
			&p.Code, &p.Line.ID, &p.Line.Kind, &p.Line.Source, &p.Line.Pour, &total, &p.PourOf, &p.Heats)
		return p, err
	}, fmt.Sprintf(lifePhotos, heats, from), it.ID, most)
	if err != nil {
		return nil, 0, fmt.Errorf("photos of a life: %w", err)
	}
	return all, total - len(all), nil
}
