import { mount } from "svelte";
import Job from "./job/Job.svelte";

const place = document.getElementById("page");
if (place) mount(Job, { target: place });
