// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Machine;

/// <summary>The printer profiles that are known: shipped ones, and those of the user's own folder.</summary>
internal static class PrinterCatalogue
{
    /// <summary>The profile taken when the user names none.</summary>
    public const string DefaultId = "desktop-default";

    /// <summary>What a file of a profile says it is.</summary>
    public const string Schema = ProfileEntry.Schema;

    private static readonly DataCatalogue Data = new("printers");

    /// <summary>Ids of all profiles, in alphabetical order.</summary>
    public static IReadOnlyList<string> Ids => Data.Ids;

    /// <summary>The files of the user's own folder.</summary>
    public static IReadOnlyList<string> OwnFiles => Data.OwnFiles;

    /// <summary>The file on disk behind a profile; null for shipped ones.</summary>
    /// <param name="idOrPath">An id of <see cref="Ids"/>, or the path of a file.</param>
    public static string? PathOf(string idOrPath) => Data.PathOf(idOrPath);

    /// <summary>Loads a profile.</summary>
    /// <param name="idOrPath">An id of <see cref="Ids"/>, or the path of a file.</param>
    /// <exception cref="InputProblem">There is no such profile (the nearest id is offered), or its file is wrong.</exception>
    public static PrinterProfile Load(string idOrPath) => Read(Find(idOrPath));

    /// <summary>Finds the file of a profile.</summary>
    /// <param name="idOrPath">As in <see cref="Load"/>.</param>
    /// <exception cref="InputProblem">There is none; the message offers the nearest id.</exception>
    public static DataFile Find(string idOrPath) => Data.Find(idOrPath);

    /// <summary>Reads a profile from a file that was found already.</summary>
    /// <param name="file">The file and its text.</param>
    /// <exception cref="InputProblem">The file is wrong; the message has line and column.</exception>
    public static PrinterProfile Read(DataFile file) => ProfileEntry.Read(file);
}
