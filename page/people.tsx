// The pages of accounts: what is shown follows from the address. They know nothing of roofs and carry no engine.

import { render } from "preact";
import { Account } from "./people/account";
import { Customer, Customers } from "./people/customer";
import { FirstOwner, Invitation, SignIn } from "./people/enter";
import { Deeds, Staff } from "./people/staff";
import { language } from "./words/spoken";

const views = { "/sign-in": SignIn, "/invitation": Invitation, "/first-owner": FirstOwner,
  "/account": Account, "/people": Staff, "/deeds": Deeds,
  "/customers": Customers, "/customer": Customer };

document.documentElement.dataset["light"] = localStorage.getItem("light")
  ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
document.documentElement.lang = language;
const View = views[location.pathname as keyof typeof views] ?? SignIn;
render(<View />, document.body);
