package work

import (
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver"
	"github.com/riverqueue/river/riverdriver/riverdatabasesql"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
	"github.com/riverqueue/river/riverdriver/riversqlite"
	"github.com/riverqueue/river/rivermigrate"

	"gelwright/store/tables"
)

// engine is River on one of the databases.
type engine interface {
	// migrate brings River's tables up, one process at a time.
	migrate(ctx context.Context, jobs *tables.DB) error
	// insert puts a job into River's queue within a change.
	insert(ctx context.Context, tx *sql.Tx, args river.JobArgs, opts *river.InsertOpts) error
	// worker makes what takes jobs out of the queue.
	worker(c *river.Config) (client, error)
	// rows are River's own questions to the database.
	rows() riverdriver.Executor
	close() error
}

// engineOf is River on the database of the jobs.
func engineOf(ctx context.Context, jobs *tables.DB, log *slog.Logger) (engine, error) {
	if address := jobs.Address(); address != "" {
		return newPostgres(ctx, address, log)
	}
	db, err := jobs.Beside()
	if err != nil {
		return nil, err
	}
	return newSQLite(db, log)
}

// client is a worker's end of River.
type client interface {
	Start(ctx context.Context) error
	Stop(ctx context.Context) error
	StopAndCancel(ctx context.Context) error
}

// The places in which work waits: what computes takes a thread each, what asks others over the network hardly any, and backups are
// written by a worker that has a folder for them.
const (
	computing = "computing"
	asking    = "asking"
	storing   = "storing"
	askers    = 4
)

// How often a database is asked for work. SQLite has no way to wake a worker of another process; PostgreSQL wakes them, and is asked
// now and then all the same.
const (
	cooldown   = 10 * time.Millisecond
	pollSQLite = 200 * time.Millisecond
	pollOthers = time.Second
)

// mostTries is how often a piece of work is begun before it counts as failed.
const mostTries = 8

// configOf is how River is told to work.
func configOf(id string, how Settings, log *slog.Logger, workers *river.Workers) *river.Config {
	queues := map[string]river.QueueConfig{computing: {MaxWorkers: how.Threads}, asking: {MaxWorkers: askers}}
	if how.Backups != nil {
		queues[storing] = river.QueueConfig{MaxWorkers: 1}
	}
	return &river.Config{ID: id, Logger: log, Workers: workers, FetchCooldown: cooldown, FetchPollInterval: pollOthers, MaxAttempts: mostTries,
		// What a worker held that died is given back by its missing beat (alive.go), long before River would.
		JobTimeout: time.Hour, RescueStuckJobsAfter: 2 * time.Hour, SoftStopTimeout: graceful, RetryPolicy: backOff{},
		Queues: queues}
}

// onSQLite is River in a folder of jobs.
type onSQLite struct {
	db     *sql.DB
	driver *riversqlite.Driver
	sender *river.Client[*sql.Tx]
}

func newSQLite(db *sql.DB, log *slog.Logger) (*onSQLite, error) {
	driver := riversqlite.New(db)
	sender, err := river.NewClient(driver, &river.Config{Logger: log})
	return &onSQLite{db, driver, sender}, err
}

func (e *onSQLite) migrate(ctx context.Context, jobs *tables.DB) error {
	m, err := rivermigrate.New(e.driver, quiet)
	if err != nil {
		return err
	}
	// A change holds the whole database.
	return jobs.Change(ctx, func(tx *tables.Tx) error {
		//lint:ignore SA1019 what it warns of is PostgreSQL's; on SQLite all steps are one change, under the lock that all of us take
		_, err := m.MigrateTx(ctx, tx.Under(), rivermigrate.DirectionUp, nil)
		return err
	})
}

// quiet has River's migrations say nothing.
var quiet = &rivermigrate.Config{Logger: slog.New(slog.DiscardHandler)}

func (e *onSQLite) insert(ctx context.Context, tx *sql.Tx, args river.JobArgs, opts *river.InsertOpts) error {
	_, err := e.sender.InsertTx(ctx, tx, args, opts)
	return err
}

func (e *onSQLite) worker(c *river.Config) (client, error) {
	c.FetchPollInterval = pollSQLite
	return river.NewClient(e.driver, c)
}

func (e *onSQLite) rows() riverdriver.Executor { return e.driver.GetExecutor() }
func (e *onSQLite) close() error               { return e.db.Close() }

// onPostgres is River in PostgreSQL: changes go through database/sql, as the jobs' do, and workers through a pool of their own,
// which is woken.
type onPostgres struct {
	pool   *pgxpool.Pool
	driver *riverpgxv5.Driver
	sender *river.Client[*sql.Tx]
}

func newPostgres(ctx context.Context, address string, log *slog.Logger) (*onPostgres, error) {
	pool, err := pgxpool.New(ctx, address)
	if err != nil {
		return nil, err
	}
	sender, err := river.NewClient(riverdatabasesql.New(nil), &river.Config{Logger: log})
	if err != nil {
		pool.Close()
		return nil, err
	}
	return &onPostgres{pool, riverpgxv5.New(pool), sender}, nil
}

// migrate does each of River's steps in a transaction of its own, since PostgreSQL uses no value of a type in the transaction that
// adds it; others that open the database now wait at a lock of this connection, which ends with it.
func (e *onPostgres) migrate(ctx context.Context, _ *tables.DB) error {
	m, err := rivermigrate.New(e.driver, quiet)
	if err != nil {
		return err
	}
	conn, err := e.pool.Acquire(ctx)
	if err != nil {
		return err
	}
	defer conn.Release()
	if _, err := conn.Exec(ctx, "SELECT pg_advisory_lock($1)", migrating); err != nil {
		return err
	}
	_, err = m.Migrate(ctx, rivermigrate.DirectionUp, nil)
	late, stop := context.WithTimeout(context.WithoutCancel(ctx), patience)
	defer stop()
	_, freed := conn.Exec(late, "SELECT pg_advisory_unlock($1)", migrating)
	return errors.Join(err, freed)
}

// migrating is the lock under which River's tables are brought up: the letters GELQ.
const migrating = int64(0x47454c51)

func (e *onPostgres) insert(ctx context.Context, tx *sql.Tx, args river.JobArgs, opts *river.InsertOpts) error {
	_, err := e.sender.InsertTx(ctx, tx, args, opts)
	return err
}

func (e *onPostgres) worker(c *river.Config) (client, error) {
	return river.NewClient[pgx.Tx](e.driver, c)
}
func (e *onPostgres) rows() riverdriver.Executor { return e.driver.GetExecutor() }

func (e *onPostgres) close() error {
	e.pool.Close()
	return nil
}
