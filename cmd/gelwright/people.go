package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"gelwright/people"
	"gelwright/store"
	"gelwright/store/tables"
)

// here is from where the command line does what it does.
var here = people.Visit{Device: "the command line"}

// withPeople opens the place of jobs for f, at its door.
func withPeople(ctx context.Context, where *keeping, begin bool, f func(d *people.Door) error) error {
	return withJobs(ctx, where, begin, func(db *tables.DB) error { return f(people.NewDoor(db, time.Now, people.UsualCost)) })
}

// theAccount is the account with a sign-in name.
func theAccount(ctx context.Context, d *people.Door, signIn string) (people.Account, error) {
	a, err := d.Keeper().AccountOf(ctx, people.SignInName(signIn))
	if store.KindOf(err) == store.Unknown {
		err = coded{exitUsage, fmt.Errorf("nobody signs in as %q: 'gelwright people' lists who does", signIn)}
	}
	return a, err
}

func peopleCommand() *cobra.Command {
	var where keeping
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "people --data DIR",
		Short: "List the people who may sign in, and change who may",
		Long: `Lists the people of the firm who may sign in to 'gelwright serve': sign-in name, role, name, and whether a password was
chosen. The first owner is made by the address that 'gelwright serve --listen :8443' prints at its first start, or with 'people add',
which prints an invitation; all further people can be invited in the page.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withPeople(cmd.Context(), &where, false, func(d *people.Door) error {
				all, err := d.Keeper().Accounts(cmd.Context())
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), peopleRows(all))
				}
				return printPeople(cmd.OutOrStdout(), all)
			})
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	cmd.AddCommand(peopleAddCommand(), peopleInviteCommand(), peopleRoleCommand(), peopleEndCommand(), peopleDeedsCommand())
	return cmd
}

// addAt adds --at, the address before an invitation.
func addAt(cmd *cobra.Command, at *string) {
	cmd.Flags().StringVar(at, "at", "", "address of the server, as https://roofs.example:8443, to print before the invitation")
}

func peopleAddCommand() *cobra.Command {
	var where keeping
	var name, role, at string
	cmd := &cobra.Command{
		Use:   "add SIGN-IN-NAME --role ROLE --data DIR",
		Short: "Make an account, and print an invitation to it",
		Long: `Makes an account for a person: an owner, an estimator or somebody of a crew. It has no password yet: what is printed is
an invitation, by which its person chooses one, once, within a week.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if role == "" {
				return coded{exitUsage, errors.New("--role says what the person is: owner, estimator or crew")}
			}
			if name == "" {
				name = args[0]
			}
			return withPeople(cmd.Context(), &where, true, func(d *people.Door) error {
				a, err := d.Add(cmd.Context(), here, people.ThisComputer, args[0], name, people.Role(role))
				if err != nil {
					return err
				}
				return invite(cmd, d, a, at)
			})
		},
	}
	addKeeping(cmd, &where)
	addAt(cmd, &at)
	cmd.Flags().StringVar(&name, "name", "", "how others call the person (without: the sign-in name)")
	cmd.Flags().StringVar(&role, "role", "", "owner, estimator or crew")
	return cmd
}

// invite makes an invitation and prints it.
func invite(cmd *cobra.Command, d *people.Door, a people.Account, at string) error {
	secret, ends, err := d.Invite(cmd.Context(), here, people.ThisComputer, a.ID)
	if err != nil {
		return err
	}
	return printInvitation(cmd.OutOrStdout(), a, at, secret, ends)
}

func peopleInviteCommand() *cobra.Command {
	var where keeping
	var at string
	cmd := &cobra.Command{
		Use:   "invite SIGN-IN-NAME --data DIR",
		Short: "Print a new invitation, for who has forgotten the password",
		Long:  `Prints a new invitation to an account, by which its person chooses a password, once, within a week. Those before end.`,
		Args:  arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withPeople(cmd.Context(), &where, false, func(d *people.Door) error {
				a, err := theAccount(cmd.Context(), d, args[0])
				if err != nil {
					return err
				}
				return invite(cmd, d, a, at)
			})
		},
	}
	addKeeping(cmd, &where)
	addAt(cmd, &at)
	return cmd
}

func peopleRoleCommand() *cobra.Command {
	var where keeping
	cmd := &cobra.Command{
		Use:   "role SIGN-IN-NAME ROLE --data DIR",
		Short: "Give a person another role",
		Long:  `Makes a person owner, estimator or crew. All sessions and tokens of the person end; one owner always stays.`,
		Args:  arguments(cobra.ExactArgs(2)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withPeople(cmd.Context(), &where, false, func(d *people.Door) error {
				a, err := theAccount(cmd.Context(), d, args[0])
				if err != nil {
					return err
				}
				if err := d.ChangeRole(cmd.Context(), here, people.ThisComputer, a.ID, people.Role(args[1])); err != nil {
					return err
				}
				_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s is %s now, and signs in anew\n", a.Name, args[1])
				return err
			})
		},
	}
	addKeeping(cmd, &where)
	return cmd
}

func peopleEndCommand() *cobra.Command {
	var where keeping
	cmd := &cobra.Command{
		Use:   "end SIGN-IN-NAME --data DIR",
		Short: "End an account",
		Long:  `Ends an account: nobody is let in by it any more, at once and for ever. What its person did stays under the name.`,
		Args:  arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withPeople(cmd.Context(), &where, false, func(d *people.Door) error {
				a, err := theAccount(cmd.Context(), d, args[0])
				if err != nil {
					return err
				}
				if err := d.End(cmd.Context(), here, people.ThisComputer, a.ID); err != nil {
					return err
				}
				_, err = fmt.Fprintf(cmd.OutOrStdout(), "the account of %s has ended\n", a.Name)
				return err
			})
		},
	}
	addKeeping(cmd, &where)
	return cmd
}

func peopleDeedsCommand() *cobra.Command {
	var where keeping
	var most int
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "deeds --data DIR",
		Short: "Tell who did what, when and from where",
		Long: `Tells who signed in, was refused, was invited, changed a job and so on: when (UTC), by whom, what, and from which
address, the newest first. It is kept for ever and holds no secrets.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return withPeople(cmd.Context(), &where, false, func(d *people.Door) error {
				deeds, err := d.Keeper().Deeds(cmd.Context(), 0, most)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), deeds)
				}
				return printDeeds(cmd.OutOrStdout(), deeds)
			})
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().IntVar(&most, "most", 100, "how many at most, up to 1000")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}
