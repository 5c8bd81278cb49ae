using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using XoverOpt.Worker.Host;
using XoverOpt.Worker.Tests.Support;

namespace XoverOpt.Worker.Tests.Operators;

/// <summary>What operators read agrees with what the program does.</summary>
public sealed class OperatorsReadmeTests
{
    private const string Folder = "src/XoverOpt.Worker/Operators";

    [Fact]
    public void Readme_TableOfSettings_IsThatOfTheProgram()
    {
        string[] rows = [.. Repository.Read($"{Folder}/README.md").Split('\n').Where(line => line.StartsWith("| `", StringComparison.Ordinal) && line.Contains(Setting.Prefix, StringComparison.Ordinal))];

        Assert.Equal(SettingTable.All.Select(Row), rows);
    }

    [Fact]
    public void Readme_CommandsAndFlagsItNames_Exist()
    {
        string text = Repository.Read($"{Folder}/README.md");
        string[] known = [.. SettingTable.All.Select(setting => setting.Flag), "--config", "--settings", "--scope", "--store", "--help"];

        string[] flags = [.. Regex.Matches(text, "^    xoveropt .*$", RegexOptions.Multiline).SelectMany(line => Regex.Matches(line.Value, "--[a-z-]+")).Select(match => match.Value)];
        Assert.NotEmpty(flags);
        Assert.All(flags, name => Assert.Contains(name, known));

        foreach (Match variable in Regex.Matches(text, $"{Setting.Prefix}[A-Z_]+"))
        {
            Assert.Contains(variable.Value, SettingTable.All.Select(setting => setting.Variable).Append(GivenSettings.FileVariable));
        }
    }

    [Fact]
    public void Licences_EveryPackageOfTheLockFiles_IsListedWithItsLicence()
    {
        Dictionary<string, string> listed = Repository.Read($"{Folder}/LICENCES.md").Split('\n')
            .Where(line => line.StartsWith("| ", StringComparison.Ordinal) && !line.StartsWith("| package", StringComparison.Ordinal))
            .Select(line => line.Split('|', StringSplitOptions.TrimEntries))
            .Where(cells => cells.Length == 5)
            .ToDictionary(cells => cells[1], cells => cells[2]);
        string[] used = [.. new[] { "src", "tests" }
            .SelectMany(folder => Directory.EnumerateFiles(Path.Combine(Repository.Root, folder), "packages.lock.json", SearchOption.AllDirectories))
            .SelectMany(file => JsonNode.Parse(File.ReadAllText(file))!["dependencies"]!.AsObject())
            .SelectMany(framework => framework.Value!.AsObject())
            .Where(package => (string?)package.Value!["type"] != "Project")
            .Select(package => package.Key)
            .Distinct(StringComparer.OrdinalIgnoreCase)
            .Order(StringComparer.OrdinalIgnoreCase)];

        Assert.NotEmpty(used);
        Assert.Equal(used, listed.Keys.Order(StringComparer.OrdinalIgnoreCase));
        Assert.All(listed.Values, licence => Assert.NotEmpty(licence));
    }

    [Fact]
    public void Licences_EveryLibraryOfThePages_IsListedAndBringsItsLicence()
    {
        string[] listed = [.. Repository.Read($"{Folder}/LICENCES.md").Split('\n')
            .Select(line => line.Split('|', StringSplitOptions.TrimEntries))
            .Where(cells => cells.Length == 6 && cells[1] is not "library" && !cells[1].StartsWith('-'))
            .Select(cells => cells[1].ToLowerInvariant())];
        string[] kept = [.. Directory.EnumerateDirectories(Path.Combine(Repository.Root, "src", "XoverOpt.Worker", "wwwroot", "lib")).Select(folder => Path.GetFileName(folder)!)];

        Assert.NotEmpty(kept);
        Assert.Equal(kept.Order(StringComparer.Ordinal), listed.Order(StringComparer.Ordinal));
        Assert.All(kept, library => Assert.Contains("MIT", Repository.Read($"src/XoverOpt.Worker/wwwroot/lib/{library}/LICENSE.txt"), StringComparison.Ordinal));
    }

    private static string Row(Setting setting) =>
        $"| `{setting.Key}` | `{setting.Flag}` | `{setting.Variable}` | {setting.Usual} | {setting.About} |";
}
