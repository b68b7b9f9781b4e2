package tables

import (
	"context"
	"time"

	"gelwright/people"
)

// AddPasskey keeps a passkey.
func (d *DB) AddPasskey(ctx context.Context, k people.Passkey, deed people.Deed) error {
	return d.change(ctx, func(tx *Tx) error {
		done, err := tx.ExecContext(ctx, `INSERT INTO passkey (id, account, name, credential, made_ms, used_ms, ended_ms)
			VALUES (?, ?, ?, ?, ?, ?, 0) ON CONFLICT DO NOTHING`, k.ID, k.Account, k.Name, k.Credential, ms(k.Made), ms(k.Used))
		if n, err := changed(done, err); err != nil {
			return err
		} else if n == 0 {
			return clash("passkey", "Sign in with it, or make another", "it is known already")
		}
		return addDeed(ctx, tx, deed)
	})
}

// Passkeys lists those of an account.
func (d *DB) Passkeys(ctx context.Context, account string) ([]people.Passkey, error) {
	out := []people.Passkey{}
	err := d.look(ctx, func(tx *Tx) error {
		rows, err := tx.QueryContext(ctx, `SELECT id, account, name, credential, made_ms, used_ms FROM passkey
			WHERE account = ? AND ended_ms = 0 ORDER BY made_ms DESC, id`, account)
		if err != nil {
			return err
		}
		defer rows.Close()
		for rows.Next() {
			var k people.Passkey
			var made, used int64
			if err := rows.Scan(&k.ID, &k.Account, &k.Name, &k.Credential, &made, &used); err != nil {
				return err
			}
			k.Made, k.Used = at(made), at(used)
			out = append(out, k)
		}
		return rows.Err()
	})
	return given(out, err)
}

// UsePasskey keeps what a passkey has become by its use.
func (d *DB) UsePasskey(ctx context.Context, k people.Passkey) error {
	return d.change(ctx, func(tx *Tx) error {
		done, err := tx.ExecContext(ctx, "UPDATE passkey SET credential = ?, used_ms = ? WHERE id = ? AND account = ? AND ended_ms = 0",
			k.Credential, ms(k.Used), k.ID, k.Account)
		if n, err := changed(done, err); err != nil || n == 1 {
			return err
		}
		return people.Unknown("passkey")
	})
}

// EndPasskey takes a passkey of an account away.
func (d *DB) EndPasskey(ctx context.Context, account, id string, when time.Time, deed people.Deed) error {
	return d.change(ctx, func(tx *Tx) error {
		done, err := tx.ExecContext(ctx, "UPDATE passkey SET ended_ms = ? WHERE id = ? AND account = ? AND ended_ms = 0", ms(when), id, account)
		if n, err := changed(done, err); err != nil {
			return err
		} else if n == 0 {
			return people.Unknown("passkey")
		}
		return addDeed(ctx, tx, deed)
	})
}
