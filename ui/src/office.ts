// The office's page.

import "./shared/style/tokens.css";
import "./shared/style/base.css";
import { mount } from "svelte";
import { takeToken } from "./bridge/token";
import App from "./office/App.svelte";
import { OfficeApi } from "./office/api";

const target = document.getElementById("app");
if (target === null) throw new Error("the page has no place for the office");

mount(App, { target, props: { api: new OfficeApi(takeToken(location, history, sessionStorage)) } });
