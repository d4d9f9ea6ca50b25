// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Flow;
using Fumecast.Tests.Unit.Emission;

namespace Fumecast.Tests.Published;

/// <summary>Published emission figures against the model fed with the inputs of the same source.</summary>
public class EmissionFigureTests
{
    private static readonly EmissionOptions Purged = new() { StartDoseLeft = 0 };

    private static AgentEmission Print(Material material, double nozzleC, double gPerH, string agent = "particle_number") =>
        new PrintedJob(material, Purged).For(3600, nozzleC, gPerH).Results().Single(a => a.Agent.Id == agent);

    private static Material WithYield(string id, double perG)
    {
        var material = PrintedJob.Material(id);
        return material with { NumberYieldPerG = material.NumberYieldPerG with { Value = perG } };
    }

    [Published("Kim Y et al. 2015, 10.1021/acs.est.5b02805", "abstract: 1.61e10 per min with 1.67e11 per g (ABS); case R2, 5.8 g/h")]
    [Published("Kim Y et al. 2015, 10.1021/acs.est.5b02805", "abstract: 4.27e8 and 4.89e8 per min with 3.77e9 and 3.91e9 per g (PLA, pairing assumed); case R2, 6.8 and 7.5 g/h")]
    [Theory]
    [InlineData("abs", 1.67e11, 1.61e10, 5.8)]
    [InlineData("pla", 3.77e9, 4.27e8, 6.8)]
    [InlineData("pla", 3.91e9, 4.89e8, 7.5)]
    public void Rate_and_yield_of_one_study_fit_one_mass_rate(string id, double perG, double perMin, double gPerH)
    {
        var material = WithYield(id, perG);

        // A yield is what was given off per gram at the study's own mass rate: with that as the reference, the model gives the study's rate.
        material = material with { Rules = material.Rules with { ReferenceRateGPerH = material.Rules.ReferenceRateGPerH with { Value = gPerH } } };
        var rate = Print(material, material.NumberYieldPerG.AtC!.Value, gPerH).PeakPerMin.Median;
        Close.ToDigits(gPerH, 2, gPerH * perMin / rate);
    }

    // Equal volume and air change: concentrations stand as the rates.
    [Published("Kim Y et al. 2015, 10.1021/acs.est.5b02805", "abstract: concentrations of ABS 33 to 38 times those of PLA; case R2, ratio of the rates 32.9 to 37.7")]
    [Theory]
    [InlineData(4.27e8, 37.7, 38)]
    [InlineData(4.89e8, 32.9, 33)]
    public void In_one_chamber_concentrations_stand_as_the_rates(double plaPerMin, double ratio, double published)
    {
        var abs = Rate("abs", 240, 1.61e10);
        var pla = Rate("pla", 210, plaPerMin);

        Close.ToDigits(ratio, 3, abs / pla);
        Close.ToDigits(published, 2, abs / pla);

        static double Rate(string id, double nozzleC, double perMin) => Print(WithYield(id, perMin / (6.3 / 60)), nozzleC, 6.3).PeakPerMin.Median;
    }

    [Published("well-mixed box, closed form", "case R5: 63.2, 86.5 and 95.0 % of the steady level after 1, 2 and 3 h")]
    [Theory]
    [InlineData(1, 0.632)]
    [InlineData(2, 0.865)]
    [InlineData(3, 0.950)]
    public void The_standard_chamber_fills_up_in_hours(double hours, double share)
    {
        // Clean air at first, a steady source, one air change per hour; minute by minute.
        var levels = RoomSmoothing.Levels([.. Enumerable.Repeat(5.0, 180)], cellS: 60, timeConstantS: 3600, deviation: -1)!;

        Close.ToDigits(share, 3, levels[(int)(60 * hours) - 1]);
    }

    [Published("Jeon et al. 2019, 10.1111/ina.12624", "abstract: 1e7-1e9 per min at 185 degC, about 1e11 at 290 degC; slopes of 0.044 to 0.088 per K calculated in the emissions reference, 4")]
    [Fact]
    public void The_shipped_slope_spans_the_published_rise_from_185_to_290_degrees()
    {
        var slope = PrintedJob.Material("pla").Rules.NumberSlopePerK;

        // Smallest and largest of four filaments: their expected span is 2.06 standard deviations (Tippett 1925, from memory), and the range is the middle 95 %.
        var (least, most) = (Math.Log(1e11 / 1e9) / (290 - 185), Math.Log(1e11 / 1e7) / (290 - 185));
        Close.ToDigits(slope.Value, 2, (least + most) / 2);
        var deviation = (most - least) / 2.06;
        Close.ToDigits(slope.Range!.Value.Low, 2, slope.Value - 1.96 * deviation);
        Close.ToDigits(slope.Range!.Value.High, 3, slope.Value + 1.96 * deviation);
        Close.ToDigits(1.55, 3, Math.Exp(10 * Math.Log(100) / 105));
        Close.ToDigits(2.40, 3, Math.Exp(10 * Math.Log(10_000) / 105));

        // The model itself: between a hundred and ten thousand, a thousand in the middle (0.066 * 105 = ln 1023).
        var rise = Print(PrintedJob.Material("pla"), 290, 6.3).Total.Median / Print(PrintedJob.Material("pla"), 185, 6.3).Total.Median;
        Close.To(1000, rise, 0.03);
    }

    [Published("emissions reference, 9a rule 8", "with 0.066 per K an error of 15 K is a factor of 2.7")]
    [Fact]
    public void Fifteen_kelvin_are_a_factor_of_2_7() =>
        Close.ToDigits(2.7, 2, Print(PrintedJob.Material("abs"), 255, 6).Total.Median / Print(PrintedJob.Material("abs"), 240, 6).Total.Median);

    [Published("Dunn et al. 2020, 10.1007/s11051-020-04844-4", "abstract: 9.0e4 per cm3 fell below 1.0e4 within 15 min; 6.8 min and 55 min calculated in the emissions reference, 5")]
    [Fact]
    public void The_start_dose_is_that_of_the_one_study()
    {
        var rules = PrintedJob.Material("pla").Rules;

        Close.ToDigits(6.8, 2, 15 / Math.Log(9.0e4 / 1.0e4));
        Close.ToDigits(rules.StartDoseDecayS.Value / 60, 2, 15 / Math.Log(9));

        // The published 55 min is rounded up from 54.4: half a unit of its last digit does not reach; the reference says "as much as".
        Close.To(55, rules.StartDose.Value * rules.StartDoseDecayS.Value / 60, 0.012);

        // And the model: nine times the steady rate at first, a ninth of that extra part left after 15 min; rows stand as the middle values do.
        var job = new PrintedJob(PrintedJob.Material("pla"), binS: 1).For(3600, 210, 6.3);
        var rows = job.Rows;
        var steady = rows.Sum(static row => row[0]) / job.Accumulator.NumberParts(0).Total * 3e9 * 0.105 / 60;
        Close.To(9, rows[0][0] / steady, 0.002);
        Close.To(1 + 8.0 / 9, rows[900][0] / steady, 0.005);
    }

    // D rows: rate over 0.105 g/min.
    [Published("Stephens 2013, Kim 2015, Mendes 2017, Gu 2019", "abstracts; yields at 6.3 g/h calculated in the emissions reference, 9b")]
    [Theory]
    [InlineData(1.9e11, 1.8e12)]
    [InlineData(2.0e10, 1.9e11)]
    [InlineData(6.0e8, 5.7e9)]
    [InlineData(4.7e10, 4.5e11)]
    [InlineData(2.0e9, 1.9e10)]
    public void Published_rates_become_yields_at_the_reference_mass_rate(double perMin, double perG)
    {
        var gPerMin = PrintedJob.Material("abs").Rules.ReferenceRateGPerH.Value / 60;

        Close.ToDigits(perG, 2, perMin / gPerMin);

        // Back again through the model.
        Close.To(perMin, Print(WithYield("abs", perMin / gPerMin), 240, 6.3).PeakPerMin.Median, 1e-6);
    }

    // The 1.9 is printed there as 2.
    [Published("Gu 2019, Stefaniak 2017, Azimi 2016, Zhang and Black 2023", "abstracts; TVOC per gram at 6.3 g/h calculated in the emissions reference, 3a")]
    [Theory]
    [InlineData(40.5 * 60, 386, 3)]
    [InlineData(0.2 * 60, 1.9, 2)]
    [InlineData(49, 8, 1)]
    [InlineData(3552, 564, 3)]
    [InlineData(200, 32, 2)]
    [InlineData(1000, 159, 3)]
    public void Published_tvoc_rates_become_yields_at_the_reference_mass_rate(double ugPerH, double ugPerG, int digits)
    {
        var abs = PrintedJob.Material("abs");
        var yield = ugPerH / abs.Rules.ReferenceRateGPerH.Value;
        Close.ToDigits(ugPerG, digits, yield);

        // Back again through the model.
        var printed = abs with { TvocYieldUgPerG = abs.TvocYieldUgPerG with { Value = yield } };
        Close.To(ugPerH, Print(printed, printed.TvocYieldUgPerG.AtC!.Value, 6.3, "tvoc").PerGram!.Value.Median * 6.3, 1e-6);
    }

    [Published("Keller 2025, 10.1080/15459624.2025.2544739", "abstract: 432.8, 124.1 and 4.7 ug/m3 for ABS, ASA and PETG, so 0.29 and 0.011 of ABS")]
    [Fact]
    public void Tvoc_of_asa_and_petg_stands_to_abs_as_published()
    {
        double Tvoc(string id) => PrintedJob.Material(id).TvocYieldUgPerG.Value;

        Close.To(124.1 / 432.8, Tvoc("asa") / Tvoc("abs"), 0.05);

        // PETG was set to 5 ug/g between 0.011 * 150 and the 2 ug/g of another study and a third that found much more: within its GSD of 6.
        Assert.InRange(Tvoc("petg") / Tvoc("abs") / (4.7 / 432.8), 1 / 6.0, 6);
    }

    // The reference's figure is at the middle of size, width and density; the median of the draws is a third above it, since the diameter errs upwards further.
    [Published("emissions reference, 9b", "number-derived mass about 10 ug/g for ABS and 0.3 ug/g for PLA, to a factor of 10")]
    [Theory]
    [InlineData("abs", 240, 10)]
    [InlineData("pla", 210, 0.3)]
    public void Particle_mass_per_gram_follows_from_number_and_size(string id, double nozzleC, double ugPerG)
    {
        var rules = PrintedJob.Material(id).Rules;
        var meanUg = new ParticleSize(rules.GmdNm.Value, rules.Gsd.Value).MeanMassUg(rules.ParticleDensityGPerCm3.Value);

        Close.To(ugPerG, PrintedJob.Material(id).NumberYieldPerG.Value * meanUg, 0.05);
        Assert.InRange(Print(PrintedJob.Material(id), nozzleC, 6.3, "particle_mass").PerGram!.Value.Median / ugPerG, 1, 1.5);
    }

    // Every read figure lies within the 99 % interval of ours: the spread was set to hold them.
    [Published("Kim 2015, Zhang J 2022, Stephens 2013, Mendes 2017, Gu 2019", "abstracts; yields, and rates at 6.3 g/h")]
    [Theory]
    [InlineData("abs", 240, 1.67e11)]
    [InlineData("abs", 240, 4.3e10)]
    [InlineData("abs", 240, 1e9)]
    [InlineData("abs", 240, 1.8e12)]
    [InlineData("abs", 240, 4.5e11)]
    [InlineData("pla", 210, 3.84e9)]
    [InlineData("pla", 210, 1e7)]
    [InlineData("pla", 210, 1.9e11)]
    [InlineData("pla", 210, 5.7e9)]
    [InlineData("petg", 240, 1.9e10)]
    public void Published_yields_lie_within_the_99_percent_interval(string id, double nozzleC, double perG)
    {
        var total = new PrintedJob(PrintedJob.Material(id), Purged with { Interval = 0.99 }).For(3600, nozzleC, 6.3).Results()[0].PerGram!.Value;

        Assert.InRange(perG, total.Low, total.High);
    }
}
