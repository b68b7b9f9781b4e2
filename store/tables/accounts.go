package tables

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"gelwright/people"
	"gelwright/store"
)

var _ people.Keeper = (*DB)(nil)

const accountColumns = "id, sign_in, name, role, password, made_ms, ended_ms"

// scanAccount reads a row of accountColumns.
func scanAccount(scan func(...any) error) (people.Account, error) {
	var a people.Account
	var made, ended int64
	err := scan(&a.ID, &a.SignIn, &a.Name, &a.Role, &a.Password, &made, &ended)
	a.Made, a.Ended = at(made), at(ended)
	return a, err
}

// ms is a time in milliseconds since 1970, of the zero time 0; at is the way back.
func ms(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMilli()
}

func at(ms int64) time.Time {
	if ms == 0 {
		return time.Time{}
	}
	return when(ms)
}

// accountWhere reads the account of which a column has a value.
func accountWhere(ctx context.Context, tx *Tx, column, value string) (people.Account, error) {
	a, err := scanAccount(tx.QueryRowContext(ctx, "SELECT "+accountColumns+" FROM account WHERE "+column+" = ?"+tx.lockRow(), value).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		err = people.Unknown("account")
	}
	return given(a, err)
}

// AddAccount keeps a new account.
func (d *DB) AddAccount(ctx context.Context, a people.Account, deed people.Deed) error {
	if err := a.Check(); err != nil {
		return err
	}
	return d.change(ctx, func(tx *Tx) error {
		done, err := tx.ExecContext(ctx, "INSERT INTO account ("+accountColumns+") VALUES (?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO NOTHING",
			a.ID, a.SignIn, a.Name, a.Role, a.Password, ms(a.Made), ms(a.Ended))
		if n, err := changed(done, err); err != nil {
			return err
		} else if n == 0 {
			return clash("sign-in name", "Give another, or invite who has it anew", "%s is taken", a.SignIn)
		}
		return addDeed(ctx, tx, deed)
	})
}

// changed is how many rows a change changed.
func changed(done sql.Result, err error) (int64, error) {
	if err != nil {
		return 0, err
	}
	return done.RowsAffected()
}

// Account gives an account by its id.
func (d *DB) Account(ctx context.Context, id string) (people.Account, error) {
	return d.accountBy(ctx, "id", id)
}

// AccountOf gives an account by its sign-in name.
func (d *DB) AccountOf(ctx context.Context, signIn string) (people.Account, error) {
	return d.accountBy(ctx, "sign_in", signIn)
}

func (d *DB) accountBy(ctx context.Context, column, value string) (out people.Account, err error) {
	err = d.look(ctx, func(tx *Tx) (err error) {
		out, err = accountWhere(ctx, tx, column, value)
		return err
	})
	return out, err
}

// Accounts lists all accounts.
func (d *DB) Accounts(ctx context.Context) ([]people.Account, error) {
	out := []people.Account{}
	err := d.look(ctx, func(tx *Tx) error {
		rows, err := tx.QueryContext(ctx, "SELECT "+accountColumns+" FROM account ORDER BY name, id")
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			a, err := scanAccount(rows.Scan)
			if err != nil {
				return err
			}
			out = append(out, a)
		}
		return rows.Err()
	})
	return given(out, err)
}

// ChangeAccount changes an account and ends what let in by it.
func (d *DB) ChangeAccount(ctx context.Context, id string, c people.Change) (people.Account, error) {
	var out people.Account
	err := d.change(ctx, func(tx *Tx) error {
		// The owners are held in one order, so that of two who end each other one is left.
		others, err := ownersBut(ctx, tx, id)
		if err != nil {
			return err
		}
		a, err := accountWhere(ctx, tx, "id", id)
		if err != nil {
			return err
		}
		was := a
		if err := c.Do(&a); err != nil {
			return err
		}
		a.ID, a.SignIn, a.Made = was.ID, was.SignIn, was.Made
		if err := a.Check(); err != nil {
			return err
		}
		if owns(&was) && !owns(&a) && others == 0 {
			return &store.Error{Kind: store.Refused, Place: "account", Found: was.Name + " is the only owner, and one must stay",
				Remedy: "Make another owner first"}
		}
		if c.Invitation != "" {
			if err := takeInvitation(ctx, tx, c, id); err != nil {
				return err
			}
		}
		if _, err := tx.ExecContext(ctx, "UPDATE account SET name = ?, role = ?, password = ?, ended_ms = ? WHERE id = ?",
			a.Name, a.Role, a.Password, ms(a.Ended), id); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "UPDATE pass SET ended_ms = ? WHERE account = ? AND ended_ms = 0", ms(c.When), id); err != nil {
			return err
		}
		out = a
		return addDeed(ctx, tx, c.Deed)
	})
	return given(out, err)
}

// takeInvitation ends the invitation that a change needs.
func takeInvitation(ctx context.Context, tx *Tx, c people.Change, account string) error {
	done, err := tx.ExecContext(ctx, `UPDATE pass SET ended_ms = ?
		WHERE hash = ? AND account = ? AND kind = ? AND ended_ms = 0 AND ends_ms > ?`,
		ms(c.When), c.Invitation, account, people.Invitation, ms(c.When))
	if n, err := changed(done, err); err != nil || n == 1 {
		return err
	}
	return people.Unknown("invitation")
}

func owns(a *people.Account) bool { return a.Role == people.Owner && a.Lives() }

// ownersBut is how many owners there are that have not ended, one account left out.
func ownersBut(ctx context.Context, tx *Tx, id string) (n int, err error) {
	rows, err := tx.QueryContext(ctx, "SELECT id FROM account WHERE role = ? AND ended_ms = 0 ORDER BY id"+tx.lockRow(), people.Owner)
	if err != nil {
		return 0, err
	}
	defer rows.Close()
	for rows.Next() {
		var one string
		if err := rows.Scan(&one); err != nil {
			return 0, err
		}
		if one != id {
			n++
		}
	}
	return n, rows.Err()
}
