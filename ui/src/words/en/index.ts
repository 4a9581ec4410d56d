// The English catalogue.

import * as codes from "./codes";
import * as common from "./common";
import { known } from "./known";
import { office } from "./office";
import * as screens from "./screens";

export const en = { ...common, ...screens, office, codes: { ...codes, known } };
