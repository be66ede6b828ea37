import { mount } from "svelte";
import Hand from "./Hand.svelte";

const place = document.getElementById("page");
if (place) mount(Hand, { target: place });
