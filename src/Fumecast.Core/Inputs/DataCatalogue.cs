// SPDX-License-Identifier: MIT
using System.Reflection;

namespace Fumecast.Inputs;

/// <summary>Finds data files of one kind: a path, a file in the user's own data folder, or one that came with the program.</summary>
/// <remarks>The folder is named by the environment variable <see cref="FolderVariable"/>; its files override shipped ones of the same id.</remarks>
internal sealed class DataCatalogue
{
    /// <summary>Environment variable that names the user's data folder, with a subfolder for each kind.</summary>
    public const string FolderVariable = "FUMECAST_DATA";

    private const string Extension = ".yaml";
    private readonly Assembly _assembly;
    private readonly string _kind;
    private readonly string? _dataFolder;
    private readonly string? _folder;
    private readonly string[] _notData;
    private string[]? _ids;

    /// <summary>A catalogue of the data shipped in this assembly.</summary>
    /// <param name="kind">Name of the kind, which is the name of its folder: <c>materials</c>, <c>printers</c>.</param>
    /// <param name="notData">Names in that folder that are not data of this kind, without extension.</param>
    public DataCatalogue(string kind, params string[] notData)
        : this(typeof(DataCatalogue).Assembly, kind, Environment.GetEnvironmentVariable(FolderVariable), notData)
    {
    }

    /// <summary>A catalogue of the data shipped in an assembly and of a folder.</summary>
    /// <param name="assembly">Holds resources named <c>kind/id.yaml</c>.</param>
    /// <param name="kind">Name of the kind.</param>
    /// <param name="dataFolder">The user's data folder, or null or empty for none.</param>
    /// <param name="notData">Names that are not data of this kind.</param>
    public DataCatalogue(Assembly assembly, string kind, string? dataFolder, params string[] notData)
    {
        ArgumentNullException.ThrowIfNull(assembly);
        _assembly = assembly;
        _kind = kind;
        _notData = notData;
        _dataFolder = string.IsNullOrWhiteSpace(dataFolder) ? null : dataFolder;
        _folder = string.IsNullOrWhiteSpace(dataFolder) ? null : Path.Combine(dataFolder, kind);
    }

    /// <summary>Ids that <see cref="Find"/> knows, in alphabetical order.</summary>
    public IReadOnlyList<string> Ids => _ids ??= ListIds();

    /// <summary>Finds a data file.</summary>
    /// <param name="idOrPath">An id of <see cref="Ids"/>, or a path (it has a slash or ends in <c>.yaml</c> or <c>.yml</c>, or such a file exists).</param>
    /// <exception cref="InputProblem">There is none; the message offers the nearest id.</exception>
    public DataFile Find(string idOrPath)
    {
        ArgumentNullException.ThrowIfNull(idOrPath);
        var one = _kind.EndsWith('s') ? _kind[..^1] : _kind;
        if (LooksLikePath(idOrPath))
        {
            // A name with a slash may be either, and is neither: "PLA/PHA".
            return IsNamedAsData(idOrPath) || File.Exists(idOrPath) || Directory.Exists(idOrPath) || idOrPath.Contains('\uFFFD', StringComparison.Ordinal)
                ? DataFile.Load(idOrPath)
                : throw new InputProblem(
                    $"found no file '{idOrPath}', and no {one} has a slash in its id; check the path, or name one without a slash{NearestOfParts(idOrPath)} (see: fumecast {_kind} list)");
        }

        if (TryFind(idOrPath) is { } found && !_notData.Contains(idOrPath))
        {
            return found;
        }

        if (File.Exists(idOrPath))
        {
            return DataFile.Load(idOrPath);
        }

        throw new InputProblem($"found no {one} '{idOrPath}'{Nearest.Hint(idOrPath, Ids)} (a path to a .yaml file works too)");
    }

    /// <summary>Whether <see cref="Find"/> would take a text as an id or as a path, rather than refuse it.</summary>
    internal bool Knows(string idOrPath) => LooksLikePath(idOrPath) || Ids.Contains(idOrPath) || File.Exists(idOrPath);

    /// <summary>The file on disk that <see cref="Find"/> would read; null for shipped data and for what it would not find.</summary>
    /// <param name="idOrPath">As in <see cref="Find"/>.</param>
    public string? PathOf(string idOrPath)
    {
        ArgumentNullException.ThrowIfNull(idOrPath);
        return LooksLikePath(idOrPath) ? idOrPath
            : Ids.Contains(idOrPath) ? OwnFiles.FirstOrDefault(file => Path.GetFileNameWithoutExtension(file) == idOrPath)
            : File.Exists(idOrPath) ? idOrPath
            : null;
    }

    /// <summary>The files of this kind in the user's own data folder.</summary>
    public IReadOnlyList<string> OwnFiles
    {
        get
        {
            RequireFolder();
            try
            {
                return _folder is not null && Directory.Exists(_folder) ? [.. Directory.EnumerateFiles(_folder, "*" + Extension)] : [];
            }
            catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
            {
                throw new InputProblem($"{_folder}: the folder that {FolderVariable} names cannot be read: {SystemTrouble.Reason(trouble)}; check its permissions");
            }
        }
    }

    /// <summary>Finds a file by id in the user's folder or among the shipped data, also one that is not data of this kind.</summary>
    internal DataFile? TryFind(string id)
    {
        if (id.Length == 0 || !id.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' or '.') || id.Contains("..", StringComparison.Ordinal))
        {
            return null;
        }

        RequireFolder();
        if (_folder is not null && Path.Combine(_folder, id + Extension) is var path && File.Exists(path))
        {
            return DataFile.Load(path);
        }

        return TryFindShipped(id);
    }

    /// <summary>Finds a file by id among the shipped data only.</summary>
    internal DataFile? TryFindShipped(string id)
    {
        var name = $"{_kind}/{id}{Extension}";
        using var stream = _assembly.GetManifestResourceStream(name);
        return stream is null ? null : new DataFile(name, DataFile.ReadText(stream, name), IsShipped: true);
    }

    /// <summary>A name that leads nowhere would pass shipped figures off as the user's own.</summary>
    /// <exception cref="InputProblem">The user's data folder is not there.</exception>
    private void RequireFolder()
    {
        if (_dataFolder is not null && !Directory.Exists(_dataFolder))
        {
            throw new InputProblem($"{FolderVariable}: found '{_dataFolder}', which is no folder; name the folder that holds yours, with {_kind} in it, or unset the variable");
        }
    }

    /// <summary>The first id that is a part of a name with slashes, as a suggestion.</summary>
    private string NearestOfParts(string text) =>
        text.Split('/', '\\').Select(part => Ids.FirstOrDefault(id => string.Equals(id, part.Trim(), StringComparison.OrdinalIgnoreCase))).FirstOrDefault(static id => id is not null) is { } near
            ? $", such as {near}" : "";

    private static bool LooksLikePath(string text) => text.AsSpan().ContainsAny('/', '\\') || IsNamedAsData(text);

    private static bool IsNamedAsData(string text) =>
        text.EndsWith(Extension, StringComparison.OrdinalIgnoreCase)
        || text.EndsWith(".yml", StringComparison.OrdinalIgnoreCase);

    private string[] ListIds()
    {
        var prefix = _kind + "/";
        var names = _assembly.GetManifestResourceNames()
            .Where(n => n.StartsWith(prefix, StringComparison.Ordinal) && n.EndsWith(Extension, StringComparison.Ordinal))
            .Select(n => n[prefix.Length..^Extension.Length]);
        names = names.Concat(OwnFiles.Select(f => Path.GetFileNameWithoutExtension(f)!));
        return [.. names.Except(_notData).Distinct().Order(StringComparer.Ordinal)];
    }
}
