namespace XoverOpt.Worker.Tests.Support;

/// <summary>Files of the source tree, for tests that hold documents to the code.</summary>
internal static class Repository
{
    /// <summary>The folder of the solution.</summary>
    public static string Root
    {
        get
        {
            DirectoryInfo? folder = new(AppContext.BaseDirectory);
            while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "XoverOpt.sln")))
            {
                folder = folder.Parent;
            }

            return folder?.FullName ?? throw new DirectoryNotFoundException("no XoverOpt.sln above the tests");
        }
    }

    /// <summary>The text of a file.</summary>
    public static string Read(string path) => File.ReadAllText(Path.Combine(Root, path));
}
