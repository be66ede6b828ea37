import { mount } from "svelte";
import Day from "./day/Day.svelte";

const place = document.getElementById("page");
if (place) mount(Day, { target: place });
