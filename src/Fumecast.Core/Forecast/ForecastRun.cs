// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.GCode;
using Fumecast.Inputs;
using Fumecast.Machine;

namespace Fumecast.Forecast;

/// <summary>Estimates of several jobs with the same options: profile and material tables are read once. May be used by several threads.</summary>
internal sealed class ForecastRun
{
    private readonly EstimateOptions _options;
    private readonly PrinterProfile _printer;
    private readonly LoadedMaterials _materials = new();

    /// <summary>Reads what all jobs share.</summary>
    /// <param name="options">What is known or wished beyond the files.</param>
    /// <exception cref="InputProblem">The profile or a material that the options name cannot be used.</exception>
    public ForecastRun(EstimateOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        _options = options;
        _printer = PrinterCatalogue.Load(options.Printer ?? PrinterCatalogue.DefaultId);
        foreach (var (name, table) in options.Tables)
        {
            _materials.Put(name, table);
        }

        foreach (var material in options.MaterialsNamed)
        {
            Require(material);
        }
    }

    /// <summary>Estimates what a job gives off; see <see cref="PrintForecast.Estimate"/>.</summary>
    /// <param name="job">The job.</param>
    /// <param name="series">Receives the emission against time, or null.</param>
    /// <param name="progress">Told the share of the job that has been read, 0 to 1 [-], or null.</param>
    /// <param name="cancel">Stops the work.</param>
    /// <exception cref="InputProblem">The job cannot be used.</exception>
    public JobEstimate Estimate(string job, ISeriesSink? series = null, IProgress<double>? progress = null, CancellationToken cancel = default) =>
        Run(job, _options, series, progress, forComparison: false, cancel).Estimate;

    /// <summary>Reads a material now, so that what is wrong with it is said before the work.</summary>
    /// <param name="idOrPath">Its id or file.</param>
    public Material Require(string idOrPath) => _materials.Load(idOrPath);

    /// <summary>Runs a job with options of its own, of the same printer.</summary>
    public ForecastOutcome Run(
        string job, EstimateOptions options, ISeriesSink? series, IProgress<double>? progress, bool forComparison, CancellationToken cancel, bool forAir = false)
    {
        using var kept = JobFile.Keep(job, options.Stdin);
        var known = JobFile.PeekClaims(job);
        var attempt = new Attempt(
            RelativeE: known?.SaysRelativeE == true, Reason: "the comments say so; no command does", VolumetricE: known?.SaysVolumetricE == true);
        var pass = ForecastPass.Run(job, kept, options, _printer, _materials, known, attempt, new PassWishes(series?.MostRows, series?.IsOptional == true, forAir), progress, cancel);

        // The comments at the end of a compressed job may name what the pass did without: then it runs again, knowing.
        using var first = pass;
        if (pass.WantsAnother(options, _printer, _materials) is { } next)
        {
            if (!pass.CanRunAgain)
            {
                throw new InputProblem($"{job}: {next.WhyOnceIsNotEnough}{(pass.WhyNotAgain is { } why ? $" ({why})" : "")}");
            }

            pass = ForecastPass.Run(job, kept, options, _printer, _materials, pass.Claims, next.Attempt, new PassWishes(series?.MostRows, series?.IsOptional == true, forAir), progress, cancel);
        }

        using var last = pass;
        return ForecastResult.Of(pass, options, _printer, series, forComparison);
    }
}
