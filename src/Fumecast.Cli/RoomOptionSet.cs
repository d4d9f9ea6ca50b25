// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Completions;
using Fumecast.Air;
using Fumecast.Forecast;

namespace Fumecast.Cli;

/// <summary>The options that say in what air a job is printed.</summary>
/// <param name="filter">What <c>--filter</c> stands for.</param>
internal sealed class RoomOptionSet(string filter)
{
    public Option<string?> Room { get; } = Named("--room", "ID|FILE", "A room by id or file. See: fumecast rooms list.", "rooms");

    public Option<string?> Volume { get; } = Text("--volume", "VOLUME", "Volume of the room, such as 30m3 or '25 to 35 m3'; enough where no --room is given.");

    public Option<string?> Changes { get; } = Text("--air-changes", "RATE", "Air changes with the outdoors, such as 0.5/h. Default: an assumed range, and said so.");

    public Option<string?> Enclosure { get; } = Text("--enclosure", "VOLUME", "Volume of the air in a box around the printer, such as 0.12m3.");

    public Option<string?> Leak { get; } = Text("--leak", "FLOW", "Flow through the leaks of the box, such as 0.5m3/h. Default: an assumed range.");

    public Option<string?> Filter { get; } = Named("--filter", "ID|FILE", filter, "filters");

    public Option<string?> FilterFlow { get; } = Text("--filter-flow", "FLOW", "Flow through that filter, such as 10m3/h. Default: an assumed range.");

    /// <summary>What the user gave.</summary>
    /// <exception cref="UsageProblem">Options that have no place beside each other.</exception>
    public AirOptions Read(ParseResult parsed)
    {
        var room = parsed.GetValue(Room);
        foreach (var option in new[] { Volume, Changes, Enclosure, Leak })
        {
            if (room is not null && parsed.GetValue(option) is not null)
            {
                throw new UsageProblem($"--room describes the whole room, so {option.Name} has no place beside it; put it into a file of your own (see: fumecast rooms show {room})");
            }
        }

        if (parsed.GetValue(Leak) is not null && parsed.GetValue(Enclosure) is null)
        {
            throw new UsageProblem("--leak is that of a box, so it needs --enclosure VOLUME beside it");
        }

        if (parsed.GetValue(FilterFlow) is not null && parsed.GetValue(Filter) is null)
        {
            throw new UsageProblem("--filter-flow is that of a filter, so it needs --filter ID beside it");
        }

        return new AirOptions
        {
            Room = room,
            Volume = parsed.GetValue(Volume),
            AirChanges = parsed.GetValue(Changes),
            Enclosure = parsed.GetValue(Enclosure),
            Leak = parsed.GetValue(Leak),
            Filter = parsed.GetValue(Filter),
            FilterFlow = parsed.GetValue(FilterFlow),
        };
    }

    /// <summary>The files behind room, filter and meters.</summary>
    public static IEnumerable<InputFile> DataFiles(AirOptions options)
    {
        if (options.Room is { } room && AirData.Rooms.PathOf(room) is { } roomFile)
        {
            yield return new InputFile(roomFile, "the room");
        }

        if (options.Filter is { } filter && AirData.Filters.PathOf(filter) is { } filterFile)
        {
            yield return new InputFile(filterFile, "the filter");
        }

        foreach (var meter in options.Meters)
        {
            if (AirData.Meters.PathOf(meter) is { } meterFile)
            {
                yield return new InputFile(meterFile, "the meter");
            }
        }
    }

    /// <summary>An option with a text of the user's.</summary>
    public static Option<string?> Text(string name, string helpName, string description) => new(name) { HelpName = helpName, Description = description };

    /// <summary>An option that names an entry of a kind of data files.</summary>
    public static Option<string?> Named(string name, string helpName, string description, string kind)
    {
        var option = Text(name, helpName, description);
        option.CompletionSources.Add(_ => DataCommand.KnownIds(kind).Select(static id => new CompletionItem(id)));
        return option;
    }
}
