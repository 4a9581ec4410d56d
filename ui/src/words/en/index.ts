// The English catalogue.

import * as codes from "./codes";
import * as common from "./common";
import { known } from "./known";
import { office } from "./office";
import { review } from "./review";
import { reviewCodes } from "./review-codes";
import * as screens from "./screens";

export const en = { ...common, ...screens, office, review, codes: { ...codes, known: { ...known, ...reviewCodes } } };
