import { mount } from "svelte";
import Start from "./start/Start.svelte";

const place = document.getElementById("page");
if (place) mount(Start, { target: place });
