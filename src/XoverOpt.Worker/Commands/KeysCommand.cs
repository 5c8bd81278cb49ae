using System.CommandLine;
using XoverOpt.Worker.Access;
using XoverOpt.Workshop;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Commands;

/// <summary><c>keys add|list|revoke</c>: who may call the worker.</summary>
internal static class KeysCommand
{
    private const string About = "Makes, lists and revokes the worker's API keys.";

    private const string Guide =
        """
        A key is shown once, when it is made; only a salted hash of it is kept. A running worker knows of a change within a second.
        From the first key on, every request to the worker needs one; revoking the last one closes it, it does not open it.
        Scopes: read looks; submit also hands in and stops jobs; admin also governs the worker.

        Examples:
          xoveropt keys add anna --scope submit
          xoveropt keys list --store /srv/xoveropt
          xoveropt keys revoke anna
          curl -H "Authorization: Bearer $KEY" http://127.0.0.1:5080/api/jobs

        Exit codes: 0 done; 1 no such key, or the name is taken; 2 the store cannot be used.
        """;

    /// <summary>The command.</summary>
    public static Command Create()
    {
        GuidedCommand command = new("keys", About, Guide) { Add(), List(), Revoke() };
        return command;
    }

    private static GuidedCommand Add()
    {
        Argument<string> name = Name();
        Option<string> scope = new("--scope") { Description = "What it allows: read, submit or admin.", HelpName = "SCOPE", Required = true }, store = StoreOption.Create();
        scope.Allow(word => ScopeRules.Parse(word) is not null, string.Join(", ", ScopeRules.Names));
        GuidedCommand add = new("add", "Makes a key and shows it, once.", Guide) { name, scope, store };
        add.SetAction(parsed =>
        {
            string who = parsed.GetRequiredValue(name), secret = SecretText.New();
            if (who.Length is 0 or > 100 || who.Any(letter => !(char.IsAsciiLetterOrDigit(letter) || letter is '-' or '_' or '.' or '@')))
            {
                return CommandLine.Refuse([new Fault("NAME", "", $"'{who}'", "1 to 100 letters, digits, -, _, . or @")]);
            }

            byte[] salt = SecretText.NewSalt();
            ApiKey key = new(who, parsed.GetRequiredValue(scope), salt, SecretText.Hash(secret, salt), TimeProvider.System.GetUtcNow(), Revoked: null);
            using WorkshopStore keys = StoreOption.Open(parsed.GetRequiredValue(store));
            if (!keys.Keys.AddKey(key))
            {
                return CommandLine.Refuse([new Fault("NAME", "", $"'{who}', which is taken", "a name that no key bears or bore", "keys list shows them.")]);
            }

            Console.WriteLine(secret);
            Console.Error.WriteLine($"This is the key of {who} ({key.Scope}); it is not shown again.");
            return ExitCode.Done;
        });
        return add;
    }

    private static GuidedCommand List()
    {
        Option<string> store = StoreOption.Create();
        GuidedCommand list = new("list", "Lists the keys, without what is secret.", Guide) { store };
        list.SetAction(parsed =>
        {
            using WorkshopStore opened = StoreOption.Open(parsed.GetRequiredValue(store));
            IReadOnlyList<ApiKey> keys = opened.Keys.Keys();
            if (keys.Count == 0)
            {
                Console.Error.WriteLine("No key was ever made in this store.");
            }

            foreach (ApiKey key in keys)
            {
                string state = key.Revoked is { } at ? $"revoked {at:yyyy-MM-dd HH:mm}Z" : "holds";
                string used = key.LastUsed is { } last ? $"used {last:yyyy-MM-dd HH:mm}Z" : "never used";
                Console.WriteLine($"{key.Name,-24} {key.Scope,-7} made {key.Created:yyyy-MM-dd HH:mm}Z  {used,-24} {state}");
            }

            return ExitCode.Done;
        });
        return list;
    }

    private static GuidedCommand Revoke()
    {
        Argument<string> name = Name();
        Option<string> store = StoreOption.Create();
        GuidedCommand revoke = new("revoke", "Makes a key worthless, at once and for good.", Guide) { name, store };
        revoke.SetAction(parsed =>
        {
            string who = parsed.GetRequiredValue(name);
            using WorkshopStore opened = StoreOption.Open(parsed.GetRequiredValue(store));
            IKeyStore keys = opened.Keys;
            if (!keys.RevokeKey(who, TimeProvider.System.GetUtcNow()))
            {
                string[] holding = [.. keys.Keys().Where(key => key.Revoked is null).Select(key => key.Name)];
                return CommandLine.Refuse([new Fault("NAME", "", $"'{who}', which is no key that holds", holding.Length == 0 ? "none, there is no key" : string.Join(", ", holding), Nearest.Hint(who, holding))]);
            }

            Console.Error.WriteLine($"The key of {who} is revoked.");
            return ExitCode.Done;
        });
        return revoke;
    }

    private static Argument<string> Name() => new("NAME") { Description = "Whose key it is: a person or a program." };
}
