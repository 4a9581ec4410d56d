import { expect, test } from "vitest";
import { asked, askedForm, handOut, handOutForm } from "./forms";

test("a job goes out with its figures as they were typed", () => {
  const form = handOutForm();
  form.number = " J-7 ";
  form.asked.pressure.digits = "55.0";
  form.asked.datum = "at the valve";
  form.springRate.digits = "15";
  form.crew[0] = { name: " Ana ", role: "lead_tech" };
  const sent = handOut(form);
  expect(sent).toMatchObject({
    number: "J-7",
    request: { pressure: { digits: "55.0", unit: "psi" } },
    spring_rate: { digits: "15", unit: "psi/turn" },
    crew: [{ name: "Ana", role: "lead_tech" }],
  });
});

test("what is not known is left out, not sent empty", () => {
  const form = handOutForm();
  form.asked.pressure.digits = "55";
  expect(handOut(form)).not.toHaveProperty("spring_low");
  expect(asked(form.asked)).not.toHaveProperty("tolerance");
});

test("particulars and limits go out by their names, those left empty do not", () => {
  const form = handOutForm();
  form.asked.pressure.digits = "55";
  form.checks.recovery.digits = "0.85";
  form.limits.limit_velocity = { digits: "4", unit: "m/s" };
  expect(handOut(form)?.particulars).toEqual([
    { name: "recovery", value: { figure: { digits: "0.85", unit: "ratio" } } },
    { name: "limit_velocity", value: { figure: { digits: "4", unit: "m/s" } } },
  ]);
});

test("a change starts from what stands, but its pressure has to be typed", () => {
  const form = askedForm({
    valve: "v", pressure: { digits: "52", unit: "kPa" }, tolerance: { digits: "2", unit: "kPa" }, datum: "hydrant 4",
    asked_by: "Ops",
  });
  expect(form).toMatchObject({ datum: "hydrant 4", askedBy: "", tolerance: { digits: "2" }, pressure: { digits: "", unit: "kPa" } });
  expect(asked(form)).toBeUndefined();
});
