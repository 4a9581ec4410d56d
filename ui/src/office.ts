// The office's page.

import "./shared/style/tokens.css";
import "./shared/style/base.css";
import { mount } from "svelte";
import { dropToken, takeToken } from "./bridge/token";
import App from "./office/App.svelte";
import { OfficeApi } from "./office/api";

const target = document.getElementById("app");
if (target === null) throw new Error("the page has no place for the office");

const api = new OfficeApi(takeToken(location, history, sessionStorage), () => dropToken(sessionStorage));
mount(App, { target, props: { api } });
