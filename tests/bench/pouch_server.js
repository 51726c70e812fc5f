// express-pouchdb over leveldb on a free port of this machine, which it prints.
// Usage: node pouch_server.js FOLDER_WITH_NODE_MODULES DATA_FOLDER
const { createRequire } = require("node:module");
const [folder, data] = process.argv.slice(2);
const load = createRequire(folder + "/");

const PouchDB = load("pouchdb").defaults({ prefix: data + "/" });
const app = load("express")();
app.get("/page.html", (_, response) => response.type("html").send('<script src="/pouchdb.js"></script>'));
app.get("/pouchdb.js", (_, response) => response.sendFile(folder + "/node_modules/pouchdb/dist/pouchdb.min.js", { dotfiles: "allow" }));
app.use("/", load("express-pouchdb")(PouchDB, { mode: "minimumForPouchDB", inMemoryConfig: true, logPath: data + "/log.txt" }));
const server = app.listen(0, "127.0.0.1", () => console.log(server.address().port));
