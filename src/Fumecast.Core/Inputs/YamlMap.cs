// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Inputs;

/// <summary>Keys and values of a data file, read strictly: every key must be asked for, and every number has its unit.</summary>
/// <remarks>
/// Use <see cref="Read{T}"/>: it parses, lets the caller read, and then refuses keys that nobody asked for, in the map and in all maps inside it.
/// Every mistake is an <see cref="InputProblem"/> with file, line and column.
/// </remarks>
internal sealed class YamlMap
{
    private readonly string file;
    private readonly YamlNode node;
    private readonly Dictionary<string, YamlNode> values = [];
    private readonly HashSet<string> asked = [];
    private readonly List<YamlMap> inner = [];

    private YamlMap(string file, YamlNode node, string what)
    {
        if (node.Entries is null)
        {
            throw new InputProblem(file, node.Line, node.Column, $"{what}: found {node.Describe()}, expected a map of keys and values");
        }

        this.file = file;
        this.node = node;
        foreach (var (key, value) in node.Entries)
        {
            values.Add(key.Scalar!, value);
        }
    }

    /// <summary>The file as named in messages.</summary>
    public string File => file;

    /// <summary>The keys in the order of the file.</summary>
    public IEnumerable<string> Keys => node.Entries!.Select(e => e.Key.Scalar!);

    /// <summary>Reads a data file and checks that nothing in it was left unread.</summary>
    /// <param name="data">The file and its text.</param>
    /// <param name="read">Makes the result from the outermost map.</param>
    /// <exception cref="InputProblem">The text is not YAML, or not what <paramref name="read"/> expects.</exception>
    public static T Read<T>(DataFile data, Func<YamlMap, T> read)
    {
        ArgumentNullException.ThrowIfNull(data);
        ArgumentNullException.ThrowIfNull(read);
        var map = new YamlMap(data.Name, YamlNode.Parse(data.Name, data.Text), "the file");
        var result = read(map);
        map.RefuseUnread();
        return result;
    }

    /// <summary>Text of the key <c>schema</c>, which tells what kind of data a file holds; nothing else is checked.</summary>
    /// <param name="data">The file and its text.</param>
    /// <exception cref="InputProblem">The text is not YAML, or has no such key.</exception>
    public static string SchemaOf(DataFile data)
    {
        ArgumentNullException.ThrowIfNull(data);
        return new YamlMap(data.Name, YamlNode.Parse(data.Name, data.Text), "the file").Text("schema");
    }

    /// <summary>Whether a key is there with a value.</summary>
    /// <param name="key">The key.</param>
    public bool Has(string key) => Find(key) is not null;

    /// <summary>A problem at the value of a key, to be thrown.</summary>
    /// <param name="key">The key; when absent the place is that of the map.</param>
    /// <param name="message">What was found, what was expected and how to mend it.</param>
    public InputProblem Problem(string key, string message)
    {
        var at = values.GetValueOrDefault(key) ?? node;
        return new InputProblem(file, at.Line, at.Column, $"{key}: {message}");
    }

    /// <summary>Text of a required key, not empty.</summary>
    /// <param name="key">The key.</param>
    public string Text(string key) => OptionalText(key) ?? throw Missing(key, "a text");

    /// <summary>Text of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    public string? OptionalText(string key)
    {
        if (Find(key) is not { } value)
        {
            return null;
        }

        return string.IsNullOrWhiteSpace(value.Scalar) ? throw Wrong(key, value, "a text") : value.Scalar.Trim();
    }

    /// <summary>List of texts of a key; empty when it is absent. A single text counts as a list of one.</summary>
    /// <param name="key">The key.</param>
    public IReadOnlyList<string> Texts(string key)
    {
        if (Find(key) is not { } value)
        {
            return [];
        }

        List<YamlNode> items = value.Scalar is null ? value.Items ?? throw Wrong(key, value, "a list of texts") : [value];
        return [.. items.Select(i => i.Scalar is { } text && !i.IsEmpty ? text.Trim() : throw Wrong(key, i, "a text"))];
    }

    /// <summary>Number of a required key.</summary>
    /// <param name="key">The key.</param>
    /// <param name="quantity">What it is; the number needs one of its units.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <returns>The value in <see cref="Quantity.HeldUnit"/>, finite.</returns>
    public double Number(string key, Quantity quantity, double min, double max) =>
        OptionalNumber(key, quantity, min, max) ?? throw Missing(key, $"{quantity.Name} such as {quantity.Example}");

    /// <summary>Number of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    /// <param name="quantity">What it is; the number needs one of its units.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <returns>The value in <see cref="Quantity.HeldUnit"/>, finite.</returns>
    public double? OptionalNumber(string key, Quantity quantity, double min, double max)
    {
        ArgumentNullException.ThrowIfNull(quantity);
        return Find(key) is { } value ? Number(key, value, quantity, min, max) : null;
    }

    /// <summary>Range of a required key, written <c>[low, high]</c>.</summary>
    /// <param name="key">The key.</param>
    /// <param name="quantity">What both ends are.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <returns>Both ends in <see cref="Quantity.HeldUnit"/>, the lower one first.</returns>
    public (double Low, double High) Range(string key, Quantity quantity, double min, double max) =>
        OptionalRange(key, quantity, min, max) ?? throw Missing(key, $"two ends such as [{quantity.Example}, {quantity.Example}]");

    /// <summary>Range of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    /// <param name="quantity">What both ends are.</param>
    /// <param name="min">Smallest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <param name="max">Largest allowed value [<see cref="Quantity.HeldUnit"/>].</param>
    /// <returns>Both ends in <see cref="Quantity.HeldUnit"/>, the lower one first.</returns>
    public (double Low, double High)? OptionalRange(string key, Quantity quantity, double min, double max)
    {
        ArgumentNullException.ThrowIfNull(quantity);
        if (Find(key) is not { } value)
        {
            return null;
        }

        if (value.Items is not { Count: 2 } ends)
        {
            throw Wrong(key, value, $"two ends such as [{quantity.Example}, {quantity.Example}]");
        }

        var low = Number(key, ends[0], quantity, min, max);
        var high = Number(key, ends[1], quantity, min, max);
        return low <= high
            ? (low, high)
            : throw Wrong(key, ends[0], $"the lower end first; {QuantityText.Show(low, quantity)} is over {QuantityText.Show(high, quantity)}");
    }

    /// <summary>Whole number of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    /// <param name="min">Smallest allowed value [-].</param>
    /// <param name="max">Largest allowed value [-].</param>
    public int? OptionalInteger(string key, int min, int max)
    {
        if (Find(key) is not { } value)
        {
            return null;
        }

        return int.TryParse(value.Scalar, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var number) && number >= min && number <= max
            ? number
            : throw Wrong(key, value, string.Create(CultureInfo.InvariantCulture, $"a whole number from {min} to {max}"));
    }

    /// <summary><c>true</c> or <c>false</c> of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    public bool? OptionalFlag(string key) => Find(key) switch
    {
        null => null,
        { Scalar: "true" } => true,
        { Scalar: "false" } => false,
        var value => throw Wrong(key, value, "true or false"),
    };

    /// <summary>One of the names of an enumeration, written in lower case with dashes (<c>PerAxisJerk</c> as <c>per-axis-jerk</c>), of a required key.</summary>
    /// <param name="key">The key.</param>
    public T Choice<T>(string key) where T : struct, Enum =>
        OptionalChoice<T>(key) ?? throw Missing(key, $"one of {string.Join(", ", Enum.GetNames<T>().Select(Dashed))}");

    /// <summary>One of the names of an enumeration, written in lower case with dashes, or null when the key is absent.</summary>
    /// <param name="key">The key.</param>
    public T? OptionalChoice<T>(string key) where T : struct, Enum
    {
        if (Find(key) is not { } value)
        {
            return null;
        }

        var names = Array.ConvertAll(Enum.GetNames<T>(), Dashed);
        var index = Array.IndexOf(names, value.Scalar);
        if (index >= 0)
        {
            return Enum.GetValues<T>()[index];
        }

        var near = value.Scalar is { } word && Nearest.To(word, names) is { } meant ? $"; did you mean '{meant}'?" : "";
        throw Wrong(key, value, $"one of {string.Join(", ", names)}{near}");
    }

    /// <summary>Map of a required key.</summary>
    /// <param name="key">The key.</param>
    public YamlMap Map(string key) => OptionalMap(key) ?? throw Missing(key, "a map of keys and values");

    /// <summary>Map of a key, or null when it is absent.</summary>
    /// <param name="key">The key.</param>
    public YamlMap? OptionalMap(string key) => Find(key) is { } value ? Inner(value, key) : null;

    /// <summary>List of maps of a key; empty when it is absent.</summary>
    /// <param name="key">The key.</param>
    public IReadOnlyList<YamlMap> Maps(string key)
    {
        if (Find(key) is not { } value)
        {
            return [];
        }

        return value.Items is { } items ? [.. items.Select(i => Inner(i, key))] : throw Wrong(key, value, "a list of maps");
    }

    /// <summary>Refuses what <see cref="Read{T}"/> would refuse: keys that nobody asked for, here and in all maps inside.</summary>
    private void RefuseUnread()
    {
        foreach (var (key, _) in node.Entries!)
        {
            if (!asked.Contains(key.Scalar!))
            {
                var free = asked.Where(a => !values.ContainsKey(a)).Order(StringComparer.Ordinal).ToArray();
                throw new InputProblem(file, key.Line, key.Column, $"unknown key '{key.Scalar}'{Nearest.Hint(key.Scalar!, free)}");
            }
        }

        foreach (var map in inner)
        {
            map.RefuseUnread();
        }
    }

    private YamlNode? Find(string key)
    {
        asked.Add(key);
        if (!values.TryGetValue(key, out var value))
        {
            return null;
        }

        return value.IsEmpty ? throw new InputProblem(file, value.Line, value.Column, $"{key}: found nothing; give a value or remove the key") : value;
    }

    private double Number(string key, YamlNode value, Quantity quantity, double min, double max)
    {
        if (value.Scalar is null)
        {
            throw Wrong(key, value, $"{quantity.Name} such as {quantity.Example}");
        }

        if (!QuantityText.TryParse(value.Scalar, quantity, null, out var number, out var problem))
        {
            throw new InputProblem(file, value.Line, value.Column, $"{key}: {problem}");
        }

        if (number >= min && number <= max)
        {
            return number;
        }

        var limits = double.IsInfinity(max) ? $"at least {QuantityText.Show(min, quantity)}"
            : double.IsInfinity(min) ? $"at most {QuantityText.Show(max, quantity)}"
            : $"{QuantityText.Show(min, quantity)} to {QuantityText.Show(max, quantity)}";
        throw Wrong(key, value, limits);
    }

    private YamlMap Inner(YamlNode value, string key)
    {
        var map = new YamlMap(file, value, key);
        inner.Add(map);
        return map;
    }

    private InputProblem Wrong(string key, YamlNode value, string expected) =>
        new(file, value.Line, value.Column, $"{key}: found {value.Describe()}, expected {expected}");

    private InputProblem Missing(string key, string expected)
    {
        // A misspelt key is the likely reason: say so where it stands.
        var unread = Keys.Where(k => !asked.Contains(k)).ToArray();
        return Nearest.To(key, unread) is { } near
            ? new InputProblem(file, node.Entries!.First(e => e.Key.Scalar == near).Key.Line, node.Entries!.First(e => e.Key.Scalar == near).Key.Column, $"unknown key '{near}'; did you mean '{key}'?")
            : new InputProblem(file, node.Line, node.Column, $"key '{key}' is missing, expected {expected}");
    }

    private static string Dashed(string name)
    {
        var text = new System.Text.StringBuilder();
        foreach (var c in name)
        {
            if (char.IsUpper(c) && text.Length > 0)
            {
                text.Append('-');
            }

            text.Append(char.ToLowerInvariant(c));
        }

        return text.ToString();
    }
}
