// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Referees;

/// <summary>A stretch of a job at one temperature and mass rate.</summary>
internal sealed record Moment(double Seconds, double NozzleC, double GPerH);

/// <summary>The emission model in its plainest form: a million draws of random numbers, each going through the job step by step.</summary>
/// <remarks>Written from the emissions reference, 9a, without a look at the accumulator: no histogram, no lattice, no closed form over a job.</remarks>
internal static class PlainMonteCarlo
{
    private const int StepsPerStretch = 24;

    /// <summary>Particles, particle mass and volatile compounds of every draw, and the particles before the first deposit.</summary>
    public static (double[] Number, double[] MassUg, double[] TvocUg, double[] WarmUp) Draw(Material material, IReadOnlyList<Moment> job, int draws, int seed)
    {
        var (number, mass, tvoc, warmUp) = (new double[draws], new double[draws], new double[draws], new double[draws]);
        const int Blocks = 16;
        Parallel.For(0, Blocks, block =>
        {
            var random = new Random(seed * 1000 + block);
            for (var i = block; i < draws; i += Blocks)
            {
                (number[i], mass[i], tvoc[i], warmUp[i]) = One(material, job, random);
            }
        });
        return (number, mass, tvoc, warmUp);
    }

    private static (double Number, double MassUg, double TvocUg, double WarmUp) One(Material material, IReadOnlyList<Moment> job, Random random)
    {
        var rules = material.Rules;
        var reference = rules.ReferenceRateGPerH.Value;
        var tau = rules.StartDoseDecayS.Value;
        var yield = Value(material.NumberYieldPerG, random);
        var slope = Value(rules.NumberSlopePerK, random);
        var share = Value(rules.NozzleShare, random);
        var dose = Value(rules.StartDose, random);
        var (gmd, gsd, density) = (Value(rules.GmdNm, random), Math.Max(1, Value(rules.Gsd, random)), Value(rules.ParticleDensityGPerCm3, random));
        var tvocYield = Value(material.TvocYieldUgPerG, random);
        var tvocSlope = Value(rules.TvocSlopePerK, random);
        var tvocShare = Value(rules.TvocNozzleShare, random);

        double number = 0, tvoc = 0, left = 1, warmUp = 0;
        var hasStarted = false;
        foreach (var moment in job)
        {
            hasStarted |= moment.GPerH > 0;
            if (moment.NozzleC < material.OnsetC.Value)
            {
                continue;
            }

            var rise = Math.Exp(slope * (moment.NozzleC - material.NumberYieldPerG.AtC!.Value));
            var step = moment.Seconds / StepsPerStretch;
            var stays = Math.Exp(-rise * step / tau);
            for (var i = 0; i < StepsPerStretch; i++)
            {
                // What the cap leaves no room for stays in the nozzle.
                var highest = rules.NumberCapPerMin.Value * step / 60;
                var fed = Math.Min(highest, yield * reference * rise * (share + (1 - share) * moment.GPerH / reference) * step / 3600);
                var whole = yield * reference * dose * tau / 3600;
                var released = Math.Min(whole * left * (1 - stays), highest - fed);
                left -= whole > 0 ? released / whole : 0;
                number += fed + released;
                warmUp += hasStarted ? 0 : fed + released;
            }

            tvoc += tvocYield * reference * Math.Exp(tvocSlope * (moment.NozzleC - material.TvocYieldUgPerG.AtC!.Value))
                * (tvocShare + (1 - tvocShare) * moment.GPerH / reference) * moment.Seconds / 3600;
        }

        // Hatch and Choate: the particle of average mass has the median diameter times exp(1.5 ln2 GSD).
        var lnGsd = Math.Log(gsd);
        var diameterCm = gmd * Math.Exp(1.5 * lnGsd * lnGsd) * 1e-7;
        return (number, number * Math.PI / 6 * diameterCm * diameterCm * diameterCm * density * 1e6, tvoc, warmUp);
    }

    private static double Value(Figure figure, Random random)
    {
        var z = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        if (figure.Gsd is { } gsd)
        {
            return figure.Value * Math.Pow(gsd, z);
        }

        if (figure.Range is not { } range)
        {
            return figure.Value;
        }

        var value = figure.Value + z * (z < 0 ? figure.Value - range.Low : range.High - figure.Value) / 1.959964;
        value = range.Low >= 0 ? Math.Max(0, value) : value;
        return figure.Quantity == Fumecast.Inputs.Quantity.Share ? Math.Min(1, value) : value;
    }
}
