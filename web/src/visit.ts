import { mount } from "svelte";
import Visit from "./visit/Visit.svelte";

const place = document.getElementById("page");
if (place) mount(Visit, { target: place });
