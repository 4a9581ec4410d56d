// The English catalogue.

import { checkCodes, checks } from "./checks";
import * as codes from "./codes";
import * as common from "./common";
import { desk } from "./desk";
import { known } from "./known";
import { office } from "./office";
import { pairing } from "./pairing";
import { record } from "./record";
import { review } from "./review";
import { reviewCodes } from "./review-codes";
import * as screens from "./screens";
import * as station from "./station";

export const en = { ...common, ...screens, ...station, desk, office, pairing, record, review, checks, codes: { ...codes, ...checkCodes, known: { ...known, ...reviewCodes } } };
