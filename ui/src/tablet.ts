// The tablet's page.

import "./shared/style/tokens.css";
import "./shared/style/base.css";
import { mount } from "svelte";
import { pickBridge } from "./bridge/pick";
import App from "./tablet/App.svelte";

const target = document.getElementById("app");
if (target === null) throw new Error("the page has no place for the tablet");

mount(App, { target, props: { bridge: await pickBridge() } });
