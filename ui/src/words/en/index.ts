// The English catalogue.

import { checkCodes, checks } from "./checks";
import * as codes from "./codes";
import { diagnosis, diagnosisCodes } from "./diagnosis";
import { findings, findingsCodes } from "./findings";
import * as common from "./common";
import { desk } from "./desk";
import { known } from "./known";
import { logger } from "./logger";
import { office } from "./office";
import { pairing } from "./pairing";
import { record } from "./record";
import { review } from "./review";
import { reviewCodes } from "./review-codes";
import * as screens from "./screens";
import { settingEngine } from "./setting-engine";
import * as station from "./station";

export const en = { ...common, ...screens, ...station, desk, office, pairing, record, review, checks, settingEngine, diagnosis, findings, logger, codes: { ...codes, ...diagnosisCodes, ...findingsCodes, ...checkCodes, known: { ...known, ...reviewCodes } } };
