package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"

	sqlite "modernc.org/sqlite"
)

// openPool opens a pool of connections that keep their statements: to make one
// anew takes as long as to run it, and a save runs some thirty.
func openPool(dsn string) (*sql.DB, error) {
	base, err := sqlite.NewConnector(dsn)
	if err != nil {
		return nil, err
	}
	return sql.OpenDB(keeping{base}), nil
}

type keeping struct{ driver.Connector }

// Connect opens a connection that keeps its statements.
func (k keeping) Connect(ctx context.Context) (driver.Conn, error) {
	c, err := k.Connector.Connect(ctx)
	if err != nil {
		return nil, err
	}
	return &keeper{sqliteConn: c.(sqliteConn), kept: map[string]statement{}}, nil
}

// sqliteConn is what a connection of the driver does.
type sqliteConn interface {
	driver.Conn
	driver.ConnBeginTx
	driver.ConnPrepareContext
	driver.ExecerContext
	driver.QueryerContext
	driver.Pinger
	driver.SessionResetter
	driver.Validator
}

type statement interface {
	driver.Stmt
	driver.StmtExecContext
	driver.StmtQueryContext
}

// mostKept is how many statements a connection keeps; lists have some hundred
// forms.
const mostKept = 150

// keeper is a connection that keeps statements by their text. One that is in
// use is taken out, so that the same text can run within itself. Like every
// connection it serves one caller at a time.
type keeper struct {
	sqliteConn
	kept map[string]statement
}

// Unwrap gives the driver's own connection.
func (k *keeper) Unwrap() driver.Conn { return k.sqliteConn }

func (k *keeper) take(ctx context.Context, query string) (statement, error) {
	if s, ok := k.kept[query]; ok {
		delete(k.kept, query)
		return s, nil
	}
	s, err := k.PrepareContext(ctx, query)
	if err != nil {
		return nil, err
	}
	return s.(statement), nil
}

// put back keeps a statement that ran well; one that failed is not used again.
// Where there is no room any other makes room: those of the migrations would
// else stay for ever and no other be kept.
func (k *keeper) put(query string, s statement, failed error) error {
	if _, twice := k.kept[query]; twice || failed != nil {
		return s.Close()
	}
	var err error
	if len(k.kept) >= mostKept {
		for other, old := range k.kept {
			delete(k.kept, other)
			err = old.Close()
			break
		}
	}
	k.kept[query] = s
	return err
}

// ExecContext runs a statement that gives no rows.
func (k *keeper) ExecContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Result, error) {
	s, err := k.take(ctx, query)
	if err != nil {
		return nil, err
	}
	r, err := s.ExecContext(ctx, args)
	return r, errors.Join(err, k.put(query, s, err))
}

// QueryContext runs a statement that gives rows; it is kept once they are read.
func (k *keeper) QueryContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Rows, error) {
	s, err := k.take(ctx, query)
	if err != nil {
		return nil, err
	}
	r, err := s.QueryContext(ctx, args)
	if err != nil {
		return nil, errors.Join(err, k.put(query, s, err))
	}
	return &keptRows{Rows: r, done: func(err error) error { return k.put(query, s, err) }}, nil
}

// Close lets go of the statements, then of the connection.
func (k *keeper) Close() error {
	var err error
	for _, s := range k.kept {
		err = errors.Join(err, s.Close())
	}
	clear(k.kept)
	return errors.Join(err, k.sqliteConn.Close())
}

type keptRows struct {
	driver.Rows
	done func(error) error
}

// Close ends the reading.
func (r *keptRows) Close() error {
	if r.done == nil {
		return nil
	}
	err := r.Rows.Close()
	err = errors.Join(err, r.done(err))
	r.done = nil
	return err
}
